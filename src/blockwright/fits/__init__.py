"""The fits of the trade: one declaration each, in one registry, and `assess`, which judges a job by them.

| module | responsibility |
| --- | --- |
| `fit` | what a fit is |
| `sizes` | sizes on the table: what has been read, at 20 °C |
| `limits` | several sources, one window: who decides each side |
| `practice` | what common practice says for a duty |
| `bores`, `rings`, `strength`, `opening`, `pins`, `bearings`, `crank`, `turning` | the fits themselves |
| `travel` | which heights of a bore a ring or skirt runs over |
| `remedies`, `words` | what would put it right, and numbers as the builder says them |
| `registry` | every fit, by name |
| `flags`, `orders` | what is noticed about readings; work ordered against what came back |
| `assess`, `assessment` | the judgement, and the shape of its result |
"""
