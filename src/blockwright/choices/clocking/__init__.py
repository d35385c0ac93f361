"""Clocking: where each ring's gap goes on the piston.

| module | responsibility |
| --- | --- |
| `frame` | angles on the crown: front, pin, thrust sides, and which way is down |
| `rules` | how far gaps lie apart and where none may lie; a pattern checked against them |
| `pattern` | a pattern that keeps them, chosen the same way every time |
| `whole` | one cylinder: its pack, its pattern, what breaks a rule |
| `facing` | which way up each ring goes |
"""
