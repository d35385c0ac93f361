"""What is shown: rows, words, tables and pictures, the same for the terminal, the build sheet and the pages.

| module | responsibility |
| --- | --- |
| `slot` | the slot-and-pin mark, in characters and in SVG |
| `slot_place` | where slot and pin lie in it: the geometry behind both |
| `study_picture` | the picture of a repeatability study |
| `clocking_picture` | the rings' gaps in one cylinder, from above |
| `pictures` | the engine's plan, the bores, the order of tightening |
| `colours` | the colours of every picture |
| `rows` | a fit as a line of text and a mark |
| `fineness` | how finely a value and its limits are shown |
| `story` | a fit's whole story: readings, budget, limits, formula, verdict |
| `ring_words` | what the ring bench says |
| `as_json` | an assessment as JSON |
| `typeset` | pages set as PDF, with `house.typ` what they share |
| `sheet` | the build sheet, and whether it belongs to its data |
"""
