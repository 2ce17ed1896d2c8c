"""Supplement: how much of which feed closes the gap."""
