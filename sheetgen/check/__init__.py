"""Where engine and workbook meet: recalculate, compare, and prove how a book is built."""
