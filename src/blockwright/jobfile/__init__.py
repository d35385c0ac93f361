"""Job files: read, validate, write."""
