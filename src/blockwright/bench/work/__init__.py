"""The engine at work on a page: the result that is kept for a book as it stands, and the working out of one beside the server.

| module | responsibility |
| --- | --- |
| `held` | the result for a book as it stands, or the last one of older readings |
| `running` | one calculation an engine, in a process of its own; how far it is, and why it failed |
| `hand` | that process |
| `told` | the page |
"""
