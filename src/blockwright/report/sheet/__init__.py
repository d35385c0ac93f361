"""The build sheet: the engine on paper, from the assessment of a job, as a PDF that can be held against its data.

| module | responsibility |
| --- | --- |
| `make` | the sheet of a job folder as a PDF |
| `data` | the whole sheet as text ready to set, part by part |
| `fit_part` | every fit with value, limits, who says so, mark and verdict; what is not settled |
| `engine_part` | engine, duty, parts, what goes where |
| `ring_part` | the ring map and the clocking pictures |
| `picture_part` | the engine from above, the bores, the route, the order of tightening |
| `route_part` | the route with its signatures, how joints are tightened |
| `shop_part` | work ordered, signatures, what was noticed, gauges, how it was judged |
| `work_part` | the engine at work, where that was worked out for this very job |
| `words` | cautions, what the tool is not, which models are not validated |
| `digests` | fingerprints of the job's files: written into the PDF, read back, compared |
| `softening` | long words made to break where a column is narrow |

`sheet.typ` is its layout.
"""
