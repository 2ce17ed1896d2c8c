"""What closes the gap between the hay and the cow."""
