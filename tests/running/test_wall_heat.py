"""The wall clearance when hot: by hand, with the coefficient that belongs to the temperature, and told where it is nothing."""

import math
from dataclasses import replace
from importlib import resources
from pathlib import Path

import pytest

from blockwright.engine.heat import Temperatures
from blockwright.engine.positions import cylinder
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.folder import read_folder
from blockwright.materials import alloy
from blockwright.running.assess import assess, judge
from blockwright.running.wall_heat import hot_wall

WALL = REGISTRY["wall clearance"]


@pytest.fixture(scope="module")
def known():
    return read_folder(Path(str(resources.files("blockwright.demos") / "harbour"))).job


def at(job, bore_c, skirt_c, piston_alloy="", give_k=10.0):
    """The same job at given temperatures, all its pistons of an alloy."""
    given = Temperatures(bore_c=bore_c, skirt_c=skirt_c, give_k=give_k, source="test bed")
    sheet = replace(job.sheet, temperatures=given)
    if piston_alloy:
        sheet = replace(
            sheet, part=tuple(replace(p, alloy=piston_alloy) if p.kind == "piston" else p for p in sheet.part)
        )
    return replace(job, sheet=sheet)


@pytest.mark.parametrize(
    ("up_to_c", "per_k"), [(20, 19.4e-6), (100, 19.4e-6), (150, 19.8e-6), (200, 20.2e-6), (250, 20.6e-6), (300, 21.0e-6), (340, 21.0e-6)]
)  # fmt: skip
def test_mean_coefficient_between_those_known(up_to_c, per_k):
    """4032-T6: 19.4 to 100 °C, 20.2 to 200 °C, 21.0 to 300 °C (1e-6/K, nominal, from memory); halfway between by hand."""
    assert alloy("aluminium 4032").mean_expansion_per_k(up_to_c) == pytest.approx(per_k, rel=1e-12)


def test_an_alloy_with_one_coefficient_keeps_it():
    assert alloy("grey iron").mean_expansion_per_k(250.0) == alloy("grey iron").expansion_per_k


@pytest.mark.parametrize(("alloy_name", "per_k"), [("aluminium 4032", 19.8e-6), ("aluminium 2618", 22.3e-6)])
def test_hot_clearance_by_hand(known, alloy_name, per_k):
    """Iron bore 11.2e-6 at 120 °C, skirt at 150 °C: D (1 + 100 a_b) - d (1 + 130 a_p), from the two sizes as read."""
    job = at(known, 120.0, 150.0, alloy_name)
    found = judge(job, WALL, cylinder(2)).found
    bore, skirt = (size.estimate.value for _, size in found.sizes)
    expected = bore * (1.0 + 100.0 * 11.2e-6) - skirt * (1.0 + 130.0 * per_k)
    hot = hot_wall(job, cylinder(2), found)
    assert hot.clearance.value == pytest.approx(expected, rel=1e-9)
    spread = math.hypot(bore * 11.2e-6 * 10.0, skirt * per_k * 10.0)  # of the temperatures alone, 10 K each
    assert spread < hot.clearance.u < 2.0 * spread


def test_explained_with_its_temperatures(known):
    result = judge(at(known, 120.0, 122.0), WALL, cylinder(2))
    [note] = [note for note in result.notes if note.startswith("hot, ")]
    assert note.endswith("mm, with the bore at 120 °C and the skirt at 122 °C (given: test bed)")


def hot_flags(job):
    return [flag for flag in assess(job).flags if flag.code == "hot-wall"]


def test_told_where_it_is_negative_and_only_there(known):
    """Cylinder 2 has 0.1295 mm cold: at 140 and 170 °C by hand -0.06 mm, at 100 and 60 °C still open."""
    [flag] = hot_flags(at(known, 140.0, 170.0))
    assert "cylinder 2 (-0.0" in flag.text
    assert "warning, not proof of seizure" in flag.text
    assert hot_flags(at(known, 100.0, 60.0)) == []


def test_nothing_is_said_of_other_fits(known):
    assert not any(note.startswith("hot, ") for note in judge(known, REGISTRY["bore taper"], cylinder(2)).notes)
