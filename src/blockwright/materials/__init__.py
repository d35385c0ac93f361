"""Materials: data files of alloys, each value with its source.

| module | responsibility |
| --- | --- |
| `alloys` | thermal expansion and modulus by name |
"""

from blockwright.materials.alloys import Alloy, alloy, alloy_names

__all__ = ["Alloy", "alloy", "alloy_names"]
