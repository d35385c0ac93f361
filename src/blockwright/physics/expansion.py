"""Hot gaps from cold ones (being written)."""

from __future__ import annotations

import math
from typing import Any

Number = Any


def cold_gap_for(
    gap_hot_m: Number,
    bore_m: Number,
    bore_expansion_per_k: Number,
    ring_expansion_per_k: Number,
    bore_c: Number,
    ring_c: Number,
) -> Number:
    """Cold gap that leaves this hot gap."""
    girth = math.pi * bore_m
    bore = 1.0 + bore_expansion_per_k * (bore_c - 20.0)
    ring = 1.0 + ring_expansion_per_k * (ring_c - 20.0)
    return girth - (girth * bore - gap_hot_m) / ring
