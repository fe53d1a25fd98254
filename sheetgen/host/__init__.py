"""Our sheets put into a person's own workbook and taken out again, part by part, without losing anything of it."""
