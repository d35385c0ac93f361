"""The formulas of the physics floor, by name, for whoever wants to reckon one by hand: described from the functions themselves.

| module | responsibility |
| --- | --- |
| `table` | which functions are offered, under which name, and which fits each serves; why the others are not |
| `measures` | what the end of a parameter's name says: unit, kind of quantity |
| `sections` | docstrings of the physics floor, read without running it: first line, parts, meanings of parameters |
| `described` | a formula with its inputs, from its signature and docstring |
| `values` | a quantity as text in a unit of its size |
| `examples` | the example of a docstring as inputs that can be typed |
| `reckoned` | what was typed → what the formula gives, or words about what is wrong |
| `as_json` | formulas and results for machines |
| `of_fit` | the formulas behind a fit, with the fit's own numbers where it has them |
"""
