"""What she eats and what she needs."""
