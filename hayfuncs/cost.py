"""Cost of feed and of nutrients."""
