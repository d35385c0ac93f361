"""Formulas on the pages: the list, and a form for each that is made of its description.

| module | responsibility |
| --- | --- |
| `forms` | what the two pages show: fields, result, refusals |
"""
