"""The ring bench's pages: where every ring stands, what to take of one now, how it came there, and where its gap goes.

| module | subject |
| --- | --- |
| `held` | the rings of a book as they stand, worked out once for each of its numbers |
| `listing` | all rings of all cylinders, and which is next |
| `card` | one ring: its stage at the bench, and what the page must know of it |
| `past` | its entries in words |
| `path` | the path of its gap, drawn |
| `crowns` | clocking, the map of rings and bores, and what mounting asks |
"""
