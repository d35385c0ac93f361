"""Metrology: from readings to a value with its uncertainty, and from there to a verdict.

| module | responsibility |
| --- | --- |
| `gauges` | the register of gauges and settings |
| `readings` | one act of measuring, with its state and temperatures |
| `repeats` | how a gauge repeats; readings that their siblings make improbable |
| `evaluate` | readings at one spot -> size at 20 °C with a budget |
| `estimate` | a value with its uncertainty by cause; sums in which shared errors cancel |
| `verdict` | probability of lying inside the limits; conforms, undecided, nonconforming |
| `deciding` | what would decide an undecided fit |
| `study`, `study_readings`, `study_methods`, `range_factors` | repeatability studies of a gauge |
"""
