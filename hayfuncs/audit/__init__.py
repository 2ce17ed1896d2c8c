"""The auditor: a workbook recomputed two ways, every finding with its cell, any cell traced to its source."""
