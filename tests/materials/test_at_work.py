"""What is assumed for an engine at work: every entry sound, said in words, and used; ways of heat that go together."""

import math
from importlib import resources

import pytest

from blockwright.engine.at_work import LinerKind
from blockwright.materials import alloy_names
from blockwright.materials.at_work import (
    assumed,
    assumptions,
    conductivity_spread,
    conductivity_w_m_k,
    heat_laws,
    liner_resistance_m2_k_w,
    rubbing,
)
from blockwright.physics.heat_network import Way, settled

UNITS = {"", "W", "J/kg", "rad", "°C", "K", "Pa", "kg/m³", "m", "N"}
LAWS = {"disc", "shell", "rim", "skirt", "under", "inside", "head", "wall", "along", "oil"}
PLACES = {"crown", "belt", "skirt", "head", "liner_top", "liner_middle", "liner_bottom", "sink", "oil"}


@pytest.mark.parametrize("name", list(assumptions()))
def test_an_assumption_says_what_it_is_and_on_what_ground(name):
    held = assumed(name)
    assert held.name == name
    assert held.unit in UNITS
    assert held.words
    assert held.ground
    assert math.isfinite(held.value)
    assert held.u >= 0.0
    assert 0.0 <= held.share < 0.5
    assert any(word in held.ground for word in ("memory", "no source", "never measured", "Heywood", "builder"))


def test_no_assumption_is_idle():
    """Each is asked for by name somewhere beyond the materials."""
    folder = resources.files("blockwright.running.work")
    code = "\n".join(each.read_text(encoding="utf-8") for each in folder.iterdir() if each.name.endswith(".py"))
    built = {f"{place}_over_oil" for place in ("main_housing", "journal", "big_end")}
    idle = [name for name in assumptions() if f'"{name}"' not in code and name not in built]
    assert idle == []


def test_one_that_is_not_there():
    with pytest.raises(KeyError):
        assumed("phlogiston")


@pytest.mark.parametrize("law", heat_laws(), ids=lambda law: law.name)
def test_a_way_of_heat(law):
    assert law.law in LAWS
    assert set(law.between) <= PLACES
    assert 0.0 < law.spread <= 0.5
    assert law.source
    assert law.when in ("", "liquid", "finned", "jets")
    assert (law.value > 0.0) is (law.law not in ("disc", "shell", "along")), "the rest is plain conduction"


def test_names_are_not_used_twice():
    names = [law.name for law in heat_laws()]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("kinds", [{"liquid"}, {"finned"}, {"liquid", "jets"}, {"finned", "jets"}])
def test_every_kind_of_engine_has_a_whole_network(kinds):
    """Coolant and oil alone hold every place."""
    ways = [Way(*law.between, 1.0) for law in heat_laws() if not law.when or law.when in kinds]
    found = settled(ways, {"crown": 1.0, "head": 1.0}, {"sink": 0.0, "oil": 0.0})
    assert set(found.temperatures) == PLACES
    assert all(float(value) > 0.0 for place, value in found.temperatures.items() if place not in ("sink", "oil"))


def test_air_cools_worse_than_water_at_every_place():
    by_name = {law.name: law for law in heat_laws()}
    for wet, dry in (
        ("head to coolant", "head to its fins"),
        ("top of the bore to coolant", "top of the bore to its fins"),
        ("middle of the bore to coolant", "middle of the bore to its fins"),
        ("bottom of the bore to coolant", "bottom of the bore to its fins"),
    ):
        assert by_name[dry].value < by_name[wet].value


def test_a_liners_joint_resists_and_water_on_its_back_helps():
    kinds = [liner_resistance_m2_k_w(kind) for kind in (LinerKind.WET, LinerKind.PARENT, LinerKind.DRY)]
    assert kinds == sorted(kinds)
    assert kinds[0] < kinds[1] == 0.0 < kinds[2]
    walls = [law.value for law in heat_laws() if law.law == "wall"]
    assert all(1.0 / value + kinds[0] > 0.0 for value in walls), "a wet liner may not conduct better than without end"
    assert {liner_resistance_m2_k_w(kind) for kind in LinerKind} <= {*kinds}


@pytest.mark.parametrize(
    ("alloy", "metal", "band"),
    [
        ("aluminium 2618", "aluminium", (120.0, 180.0)),
        ("magnesium case", "magnesium", (70.0, 120.0)),
        ("grey iron", "iron", (40.0, 60.0)),
        ("steel 4340", "steel", (35.0, 50.0)),
    ],
)
def test_conductivity_goes_by_the_metal(alloy, metal, band):
    """Bands of handbook values, W/(m K), from memory."""
    assert conductivity_w_m_k(alloy) == conductivity_w_m_k(f"some other {metal}")
    assert band[0] <= conductivity_w_m_k(alloy) <= band[1]


def test_every_alloy_of_the_list_conducts():
    for name in alloy_names():
        assert 5.0 < conductivity_w_m_k(name) < 250.0
    assert 0.0 < conductivity_spread() < 0.3


def test_rubbing_is_dealt_out_whole_to_places_that_there_are():
    held = rubbing()
    assert sum(held.dealt.values()) == pytest.approx(1.0)
    assert set(held.dealt) <= PLACES - {"sink", "oil"}
    assert 0.0 < held.of_friction < 1.0
