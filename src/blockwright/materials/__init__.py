"""Materials: data files of alloys, each value with its source.

| module | responsibility |
| --- | --- |
| `alloys` | thermal expansion and modulus by name |
| `bolts` | strength classes of bolts |
| `fatigue` | hot fatigue strength of piston alloys |
| `temperatures` | metal temperatures assumed where nobody gives any |
| `iso286.toml` | figures of limits of size, read by `physics.iso286` |
"""

from blockwright.materials.alloys import REFERENCE_C, Alloy, alloy, alloy_names

__all__ = ["REFERENCE_C", "Alloy", "alloy", "alloy_names"]
