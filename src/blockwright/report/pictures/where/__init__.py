"""Where the gauge goes: for every feature and spot a sketch of the part with the place marked.

| module | subject |
| --- | --- |
| `sketch` | what all sketches are drawn with: outlines, the measured distance, a gauge's point, words |
| `round_parts` | bores, housings, journals, pins, shells |
| `piston_parts` | skirt, ring belt, pin bore, rings |
| `assembled` | faces, and what is read on the assembled engine |
| `picture` | the sketch of a spot as a whole picture |
"""

from blockwright.report.pictures.where.picture import where_picture

__all__ = ["where_picture"]
