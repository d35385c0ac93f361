"""Engines to work out: the invented demos, changed as a test needs them, and one cut down to a single cylinder."""

from dataclasses import replace
from functools import cache
from importlib import resources
from pathlib import Path
from types import SimpleNamespace

import pytest

from blockwright.jobfile.folder import read_folder
from blockwright.running.work import work
from blockwright.running.work.draws import Draws
from blockwright.running.work.facts import facts_of
from blockwright.running.work.heat import KELVIN, hanging, network
from blockwright.running.work.matched import matched


@cache
def demo(name="harbour"):
    return read_folder(Path(str(resources.files("blockwright.demos") / name))).job


def changed(job, *, engine=None, duty=None, at_work=None, temperatures=None, rules=None, **sheet):
    """The job with other facts: each keyword is a mapping of fields."""
    parts = {"engine": engine, "duty": duty, "at_work": at_work, "temperatures": temperatures, "rules": rules}
    new = {name: replace(getattr(job.sheet, name), **fields) for name, fields in parts.items() if fields}
    return replace(job, sheet=replace(job.sheet, **new, **sheet))


def single(job):
    """Cylinder 1 of an engine, with the mains on either side of it."""
    engine = {"cylinders": 1, "firing_order": (1,), "mains": 2, "layout": "inline", "banks": (), "bank_angle_rad": None}
    power = {"power_w": job.duty.power_w / job.engine.cylinders}
    held = tuple(parts for parts in job.sheet.cylinder if parts.number == 1)
    mains = tuple(parts for parts in job.sheet.main if parts.number <= 2)
    return changed(job, engine=engine, duty=power, cylinder=held, main=mains)


REFERENCE = {
    "engine": {
        "bore_m": 0.086, "stroke_m": 0.086, "rod_length_m": 0.143, "bore_spacing_m": None, "housing_material": "grey iron",
        "rod_journal_m": 0.048, "main_journal_m": 0.056,
    },
    "duty": {
        "power_w": 4 * 21.75e3, "at_speed_rad_s": 628.3185307179587, "redline_rad_s": 680.0, "boost_pa": 0.0, "peak_pressure_pa": None,
        "coolant_c": None, "oil_c": None, "full_load_share": 0.1,
    },
    "at_work": {
        "compression_ratio": 10.0, "oil_jets": False, "charge_c": None, "rod_mass_kg": None, "rod_bearing_width_m": None,
        "main_bearing_width_m": None, "oil_pressure_pa": None, "liner": None,
    },
}  # fmt: skip
"""86 x 86 mm, 21.75 kW for each cylinder at 6000 rev/min, compression 10, no jets, water: everything else assumed."""


def reference(**more):
    """The reference engine as an inline four, without readings or weighed parts."""
    given = {key: {**REFERENCE[key], **more.get(key, {})} for key in REFERENCE}
    rest = {key: value for key, value in more.items() if key not in REFERENCE}
    rest.setdefault("part", tuple(replace(part, mass_kg=None) for part in demo().sheet.part))
    return replace(changed(demo(), **given, **rest), readings=(), passes=(), records=())


@pytest.fixture(scope="session")
def harbour():
    return demo("harbour")


@pytest.fixture(scope="session")
def hillclimb():
    return demo("hillclimb")


def heat_of(job, samples=0, seed=6):
    """Facts, draws, network, cycle and places (°C) of a job."""
    facts, draws = facts_of(job), Draws(samples, seed)
    net = network(job, facts, draws)
    found = matched(job, facts, draws, net)
    places = {place: found.walls.temperatures[place] - KELVIN for place in net.places}
    places |= hanging(job, places, draws)
    return SimpleNamespace(job=job, facts=facts, draws=draws, net=net, found=found, places=places)


@pytest.fixture(scope="session")
def engines():
    """The helpers of this file: tests find no modules beside them."""
    return SimpleNamespace(demo=demo, changed=changed, single=single, reference=reference, heat_of=heat_of)


@pytest.fixture(scope="session")
def one(harbour):
    """Cylinder 1 of the harbour boat, worked out with forty draws."""
    return work(single(harbour), samples=40, seed=6, processes=1)
