"""The cheapest mix of feeds."""
