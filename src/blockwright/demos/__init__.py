"""Invented jobs to try the tool on. Every engine, maker, number and problem in them is made up.

| folder | job |
| --- | --- |
| `harbour` | a boosted inline four of a harbour rescue boat, with one real problem of each kind |
| `hillclimb` | an unboosted closed-case flat six for hill climbs, all well but for one end float |
"""
