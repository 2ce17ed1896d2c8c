"""Thin adapters, one per place where a function can be called; no arithmetic lives here."""
