"""Build sheet, labels, tables and pictures."""
