"""What the cow needs."""
