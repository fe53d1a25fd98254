"""A workbook becomes inputs and actuals: the gate, the raw cells, what a person typed, fields by name."""
