"""Filing a ring to its gap: how much to take now, when to stop, and which passes are not to be believed.

| module | responsibility |
| --- | --- |
| `model` | what goes in and comes out: grinder's unit, readings, passes, limits, risk, assumptions; advice and surprise |
| `nodes` | the gap of one ring, supposing that its rate and the scatter of passes were known: a filter at every pair |
| `grid` | the pairs, and how a kind's rate, its rings' spread and the scatter of passes hang together before anything is read |
| `view` | one ring weighed over all pairs: where its gap is now and would be after more units |
| `belief` | all rings of a kind on one wheel, in one joint posterior; rings that change to a new wheel |
| `advice` | what to take now, or why to stop, and what would help |
| `noticing` | passes that no honest model would have predicted |
| `trial` | thousands of invented rings filed by this planner and by rote |

Everything is SI floats and arrays; nothing here knows a job, a file or a terminal.
"""
