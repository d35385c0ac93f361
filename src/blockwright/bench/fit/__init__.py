"""One fit's whole story as a page shows it.

| module | responsibility |
| --- | --- |
| `told` | value, mark, limits, readings with their places, budget: everything that `blockwright explain` says |
| `forms` | signing for the fit, and its limits: a new one, and those that can be struck out |
"""
