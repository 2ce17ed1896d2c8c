"""The pile and its price."""
