"""What a worksheet function is: records, errors, units, ranges, shapes, tables and files."""
