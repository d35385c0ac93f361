"""Lengths at the reference temperature of 20 °C.

Source: ISO 1:2022, "Geometrical product specifications (GPS) - Standard reference temperature for the specification of geometrical and
dimensional properties": 20 °C. The standard prints no worked number. Those here follow from its definition and the linear
coefficient 11.5e-6 1/K of steel that JCGM 100:2008, H.1, prints for end gauges: 100 mm at 25 °C is 0.1 x 11.5e-6 x 5 = 5.75 µm long. The end
gap of a ring 10 K warmer than its bore, pi x 86 mm x 11e-6 x 10 = 29.7 µm, "about 30 µm (1.2 thou)", was worked out independently.

Symbols: L is what is read, L20 the size; a_p, T_p of the part, a_g, T_g of the gauge, D the bore, s the end gap.
Tolerance: half a unit of the last digit given.
"""

import math

import pytest

from blockwright.metrology.evaluate import Expansion, Shop, Spot, Thermal, evaluate
from blockwright.metrology.gauges import Gauge, Sense, Setting
from blockwright.metrology.readings import Reading
from blockwright.metrology.repeats import Spread

pytestmark = pytest.mark.published

STEEL = Expansion("steel", 11.5e-6, 0.5e-6)
RING_STEEL = Expansion("ring steel", 11e-6, 0.5e-6)
IRON = Expansion("grey iron", 11e-6, 0.5e-6)
SHOP = Shop(
    {
        "M100": Gauge(id="M100", resolution_si=1e-6, expansion_per_k=11.5e-6),
        "C1": Gauge(id="C1", sense=Sense.DEVIATION, resolution_si=1e-6),
        "BLOCKS": Gauge(id="BLOCKS", expansion_per_k=11.5e-6),
        "LEAVES": Gauge(id="LEAVES", sense=Sense.BLADES),
    },
    {"S1": Setting(id="S1", gauge="C1", size_m=0.1, master="BLOCKS", master_temp_c=25.0)},
    {name: Spread(1e-6, math.inf, "assumed") for name in ("M100", "C1", "BLOCKS", "LEAVES")},
)


def reading(value_m, gauge, **more):
    return Reading(id="1", part="P", feature="length", low_si=value_m, high_si=value_m, gauge=gauge, **more)


def size(taken, spot):
    return evaluate([taken], spot, SHOP).estimate.value


def test_100_mm_of_steel_at_25_degrees_is_5_75_um_long():
    spot = Spot(Thermal.SIZE, STEEL)
    corrected = size(reading(0.1, "M100", part_temp_c=25.0, gauge_temp_c=20.0), spot)
    assert (0.1 - corrected) * 1e6 == pytest.approx(5.75, abs=0.005)


def test_a_steel_gauge_as_warm_as_the_steel_reads_right():
    spot = Spot(Thermal.SIZE, STEEL)
    assert size(reading(0.1, "M100", part_temp_c=25.0, gauge_temp_c=25.0), spot) == 0.1
    assert size(reading(0.0, "C1", setting="S1", part_temp_c=25.0), spot) == 0.1


def test_a_warm_gauge_reads_a_cold_part_short():
    """A gauge at 25 °C is 5.75 µm longer than it says: the part is that much longer than read. So is one held against a warm master."""
    spot = Spot(Thermal.SIZE, STEEL)
    direct = size(reading(0.1, "M100", part_temp_c=20.0, gauge_temp_c=25.0), spot)
    compared = size(reading(0.0, "C1", setting="S1", part_temp_c=20.0), spot)
    assert [(found - 0.1) * 1e6 for found in (direct, compared)] == pytest.approx([5.75, 5.75], abs=0.005)


def test_a_ring_10_k_warmer_than_the_block_reads_30_um_tight():
    spot = Spot(Thermal.GAP, RING_STEEL, IRON, 0.086)
    cooled = size(reading(0.40e-3, "LEAVES", part_temp_c=30.0, bore_temp_c=20.0), spot)
    assert (cooled - 0.40e-3) * 1e6 == pytest.approx(29.7, abs=0.05)
    assert (cooled - 0.40e-3) / 25.4e-6 == pytest.approx(1.2, abs=0.05)  # thou


def test_ring_and_block_alike_warm_keep_their_gap():
    """Alike in temperature and coefficient, ring and bore grow together; only a coefficient that differs moves the gap."""
    cooled = size(
        reading(0.40e-3, "LEAVES", part_temp_c=30.0, bore_temp_c=30.0), Spot(Thermal.GAP, RING_STEEL, IRON, 0.086)
    )
    assert cooled == pytest.approx(0.40e-3, rel=1e-12)
