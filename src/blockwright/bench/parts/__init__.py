"""Parts as pages show them.

| module | responsibility |
| --- | --- |
| `listing` | every part by its mark with where it goes, the seats of the engine, work ordered |
| `putting` | what putting a part into a place would change: fits that are judged anew, steps that open again |
| `forms` | registering a part, ordering work |
"""
