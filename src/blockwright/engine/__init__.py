"""What an engine is: layout, numbering, positions, parts, duty, what is measured on it, and the job that holds it all.

| module | responsibility |
| --- | --- |
| `positions` | cylinder 3, main 2, throw 1 |
| `layout` | architecture and nominal sizes, and the positions that follow |
| `duty` | what the engine is for |
| `heat` | temperatures that the builder knows |
| `at_work` | compression, cooling, bearings, oil and burning, where they are known |
| `parts` | things with marks, assignments, work ordered |
| `states` | plate on, shells in, coated ... |
| `features` | what is measured on each kind of part |
| `rules` | limits by source, the shop's rule of decision, signed acceptances |
| `steps` | the builder's changes to the route, and signatures under its steps |
| `job` | the whole, immutable |
"""
