"""Which part goes where: exact, out of the parts in stock, in the builder's own order of what matters.

| module | responsibility |
| --- | --- |
| `model` | options, rules, objective, a chosen set |
| `ground` | a table made ready for reckoning, and rules that contradict themselves |
| `solving` | the cheapest set, by assignment or, where terms couple, by integer programme |
| `best` | worst deviation first, then the sum, then the mass spread; ties; the second best |
| `coin` | the chance that the second best is truly better |
| `choosing` | `choose`: all of it together, with what is missed and what one bought part would buy |
| `tables` | options from estimates and limits: shells in two halves, shims, gaskets |
| `of_job` | the tables of a job: pistons, ring sets, shells, rods |
| `orders` | what to have machined so that a part fits |
"""
