"""Rings into the bore: how far they close, when they butt, and both ways of going wrong."""

import math
import re

import pytest

from blockwright.choices.ring_bench import RingId, rings_of
from blockwright.choices.route.ring_entry import ESCAPES, STUCK, RingEntry, entry_words, ring_entries
from blockwright.engine.positions import cylinder
from blockwright.fits.sizes import Sizes

from .engines import ENGINES

RING = RingId("R1", "top", cylinder(1))


def test_how_far_a_ring_closes_and_when_it_butts() -> None:
    """By hand: 13.2 mm free and 0.45 mm fitted close by 12.75 mm; a ring whose gap is 0.45 mm butts 0.45/pi = 0.143 mm under its bore."""
    entry = RingEntry(RING, 13.2e-3, 0.45e-3)
    assert entry.closes_m == pytest.approx(12.75e-3, rel=1e-12)
    assert entry.butts_under_m == pytest.approx(0.143239e-3, rel=1e-5)


def test_a_squeezed_ring_butts_just_there() -> None:
    """The ring's arc does not change: circumference of the squeezed circle is the bore's less the gap."""
    bore, gap = 86e-3, 0.45e-3
    under = RingEntry(RING, 13e-3, gap).butts_under_m
    assert under is not None
    assert math.pi * (bore - under) == pytest.approx(math.pi * bore - gap, rel=1e-12)


@pytest.mark.parametrize(("free", "gap"), [(None, 0.45e-3), (13e-3, None), (None, None)])
def test_what_was_not_read_is_not_guessed(free, gap) -> None:
    entry = RingEntry(RING, free, gap)
    assert entry.closes_m is None
    assert (entry.butts_under_m is None) == (gap is None)


def test_numbers_of_the_first_demonstration(harbour) -> None:
    """Cylinder 2 has the free opening of top and second ring on its list: 13.20 and 12.00 mm, read at 21 °C."""
    rings = [ring for ring in rings_of(harbour) if ring.at == cylinder(2)]
    entries = {entry.ring.ring: entry for entry in ring_entries(Sizes(harbour), rings)}
    assert entries["top"].free_m == pytest.approx(13.20e-3, rel=1e-3)
    assert entries["second"].free_m == pytest.approx(12.00e-3, rel=1e-3)
    assert entries["upper rail"].free_m is None
    words = "\n".join(entry_words(Sizes(harbour), rings))
    assert "Top ring: closes by 12." in words
    assert "from 13.20" in words


def test_without_readings_the_way_is_still_told(harbour) -> None:
    rings = [ring for ring in rings_of(harbour) if ring.at == cylinder(1)]
    words = entry_words(Sizes(harbour), rings)
    assert not any("closes by" in line for line in words)
    assert {ESCAPES, STUCK} <= set(words)


@pytest.mark.parametrize(
    ("name", "where"),
    [
        ("caps, piston on its rod from above", "the deck"),
        ("caps, piston from below", "foot of the bore"),
        ("split, pushrods", "foot of the bore"),
    ],
)
def test_the_ring_enters_where_the_piston_does(name, where) -> None:
    assert where in entry_words(Sizes(ENGINES[name]), ())[0]


def test_a_wide_sleeve_in_numbers(harbour) -> None:
    """By hand: 0.1 mm on the diameter is 0.05 mm on the radius, and 0.314 mm on the circumference."""
    line = next(line for line in entry_words(Sizes(harbour), ()) if line.startswith("A sleeve"))
    assert [float(number) for number in re.findall(r"\d+\.\d+", line)] == pytest.approx([0.1, 0.05, 0.314], abs=0.002)


def test_both_failures_say_what_to_do() -> None:
    assert "Stop at once" in ESCAPES
    assert "Do not drive it" in STUCK
