"""What can hurt an animal or burn a barn."""
