"""Reading a workbook: cells, tokens, formulas, the file and its parts."""
