"""Choices: what to do next.

| module | responsibility |
| --- | --- |
| `settle` | what would settle an undecided fit: repeats, another setting, a gauge that could tell |
| `next_steps` | everything there is to do, in the order in which a builder should do it |
| `filing` | the planner of ring filing: gaps, units, risk |
| `ring_looks` | what was read and taken of every ring, for the planner |
| `ring_bench` | where every ring of a job stands, and what to take now |
| `clocking` | where each ring's gap goes on the piston |
| `mounting` | putting a ring over its piston |
| `pistons` | two pistons side by side in one bore |
| `matching` | which part goes where: the proven best set, the second best, what one bought part would buy |
| `plan` | the readings still to take, in the order that changes gauge and setting least |
"""
