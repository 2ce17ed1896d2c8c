"""The hay and its test."""
