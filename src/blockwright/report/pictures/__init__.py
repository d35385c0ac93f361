"""Pictures for sheet and pages, as SVG text: data in, text out.

| module | draws |
| --- | --- |
| `engine_plan` | the engine from above, each position filled by the worst verdict there |
| `bore_map`, `bore_sheet` | one bore over its depth; all bores on one scale |
| `torque_order` | a field of bolts, numbered as they are tightened |
| `route_graph` | the route of assembly, panel by panel: `route_nodes` its cards, `route_rows` its rows and panels, `route_card` one card |
| `layered` | where shapes in rows and the lines between them lie |
| `standing`, `plan_place` | what the plan says of a position, and where it lies |
| `bore_seen`, `bore_section` | what was read of a bore, and its walls drawn |
| `shapes`, `drawing` | shapes filled by verdict; text that is safe and stays within its room |
"""
