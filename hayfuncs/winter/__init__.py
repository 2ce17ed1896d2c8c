"""The winter plan."""
