"""Intake of hay."""
