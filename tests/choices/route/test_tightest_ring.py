"""Of several rings in one bore, the one whose gap is smallest butts first."""

import math
import re

import pytest

from blockwright.choices.ring_bench import rings_of
from blockwright.choices.route.ring_entry import entry_words
from blockwright.engine.positions import cylinder
from blockwright.fits.sizes import Sizes


def test_the_tightest_ring_butts_first(harbour) -> None:
    """Gaps as they were read in bore 2, divided by pi; temperature moves them by far less than they differ."""
    gaps = [
        reading.value_si
        for reading in harbour.readings
        if reading.taken and reading.part == "R2" and reading.at == "cylinder 2" and reading.feature.endswith(" gap")
    ]
    assert max(gaps) > 1.1 * min(gaps)
    rings = [ring for ring in rings_of(harbour) if ring.at == cylinder(2)]
    [line] = [line for line in entry_words(Sizes(harbour), rings) if line.startswith("Squeezed")]
    [told_mm] = map(float, re.findall(r"\d+\.\d+", line))
    assert told_mm == pytest.approx(min(gaps) / math.pi * 1e3, rel=0.03)
