"""Hay on hand: bales, losses, days."""
