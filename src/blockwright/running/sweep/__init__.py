"""Sweeps: one engine at work over ranges of duty, clearance and oil, on the best values alone; each case a row.

| module | responsibility |
| --- | --- |
| `cases` | a case, its changes to cold sizes, the ranges, their product |
| `rows` | what one case gives, and its worst caution |
| `ground` | what every case of a job rests on, and a case's facts |
| `changed` | a job's fits with their cold sizes changed |
| `duties` | the cycles of many duties as columns of one |
| `working` | rows of cases of known cycles; one case alone |
| `columns` | the rows as a table in workshop units: names, CSV, Parquet |
| `plan`, `folder` | a study on disk: what it is made of, parts written whole, what is done |
| `sharing` | the work shared out to this machine's processors or to a scheduler |
| `study` | a whole study, from the first case to the last, and on after a break |

No spread is drawn: a sweep compares, it does not judge. What a row says is what `running.work` says of such an engine without draws.
"""

from __future__ import annotations
