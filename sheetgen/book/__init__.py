"""A template becomes a workbook."""
