"""Everything that is made from the records."""
