"""Sampling: how many cores, how sure."""
