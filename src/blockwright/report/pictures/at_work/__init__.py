"""Pictures of an engine at work, as SVG text: a record of `running.work.result` in, text out.

| module | draws |
| --- | --- |
| `every` | all of them, by name |
| `pressure` | pressure and temperature of the gas over the crank's angle |
| `heat`, `heat_section` | temperatures and ways of heat on a section of piston and bore |
| `thrust` | gas force, side thrust with the sides it presses, torque of the whole crank |
| `balance` | free forces and couples by order |
| `orbits` | the path of each journal in its clearance |
| `films` | the films of all bearings of a kind over the crank's angle |
| `clearance` | film and temperature of a bearing over its clearance, and on other oils |
| `lands` | gas pressures in a ring pack, and the rings' lift |
| `gap_map`, `isolines` | blow-by and pressure over top and second gap; lines of equal value |
| `hot_fits` | how the draws of a fit lie when hot, against its limits |
| `axes`, `labels` | scales, frames and curves; words that keep off each other |
| `amounts` | numbers as they stand in a picture |

Pressures are in bar absolute, angles in degrees from firing top, films in µm, temperatures in °C, forces in kN, heat in W, lengths in the shop's
unit.
"""
