"""The engine at work in words: the one form that terminal, sheet and pages show.

| module | responsibility |
| --- | --- |
| `told` | all of it, part by part |
| `numbers` | a number with its spread, in the shop's units |
| `hot` | fits when hot: value, limits, mark, verdict, what weighs most |
| `heat` | cycle, temperatures, loads, paths of heat |
| `films` | bearings: films, windows of clearance, other oils |
| `ring_gas` | rings: hot gaps, blow-by, gas between them, the looser second ring |
| `inputs` | what the calculation rests on, and who gave it |
| `as_json` | all of it for programs |
"""
