"""The template workbook: one file a sheet, a model between layout and file, one writer."""
