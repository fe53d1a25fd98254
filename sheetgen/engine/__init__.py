"""The trade's arithmetic: the first of two witnesses; the other is the formulas in the workbook."""
