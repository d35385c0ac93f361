"""The tables, from the first on."""
