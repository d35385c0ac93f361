"""Physics: pure functions of SI floats and arrays, each with its source.

| module | responsibility |
| --- | --- |
| `iso286` | limits of size from a tolerance class |
"""
