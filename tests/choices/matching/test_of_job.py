"""A job's own parts: each pairing is what `assess` says of it once the part is there; the whole in words, orders and JSON."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from blockwright.acts.kept import start
from blockwright.choices.matching import of_job
from blockwright.choices.matching.choosing import as_placed, choose
from blockwright.choices.matching.model import Balance, Stays
from blockwright.choices.matching.of_job import with_in
from blockwright.demos import demo_texts
from blockwright.engine.job import Job
from blockwright.engine.parts import Part, PartKind
from blockwright.engine.positions import cylinder, position
from blockwright.fits.registry import REGISTRY
from blockwright.metrology.readings import Reading
from blockwright.report.match_rows import match_json, orders_of, said
from blockwright.running.assess import judge

HARBOUR, HILLCLIMB = (start(name, demo_texts(name)).job for name in ("harbour", "hillclimb"))


@pytest.mark.parametrize("job", [HARBOUR, HILLCLIMB], ids=["harbour", "hillclimb"])
def test_a_pairing_is_what_is_judged_of_it(job: Job) -> None:
    asked = of_job.pistons(job)
    assert asked.table.options
    for option in asked.table.options:
        at = position(option.place)
        assert at is not None
        result = judge(with_in(job, at.number, piston=option.uses[0]), REGISTRY["wall clearance"], at)
        assert option.value is not None
        assert option.value.value == pytest.approx(result.estimate.value, rel=1e-12)
        assert option.value.u == pytest.approx(result.estimate.u, rel=1e-12)
        assert option.limits == result.limits


def test_every_piston_is_tried_in_every_bore_that_is_read() -> None:
    asked = of_job.pistons(HARBOUR)
    assert {option.uses[0] for option in asked.table.options} == {"P1", "P2", "P3", "P4", "P5"}
    assert asked.table.places == ("cylinder 2", "cylinder 3", "cylinder 4")
    assert asked.unread == ("cylinder 1",)
    assert len(asked.table.options) == 15


def test_rings_go_where_their_gaps_allow() -> None:
    asked = of_job.ring_sets(HILLCLIMB)
    job = HILLCLIMB
    for option in asked.table.options:
        at = position(option.place)
        assert at is not None
        moved = with_in(job, at.number, rings=option.uses[0])
        results = [judge(moved, REGISTRY[fit], at) for fit in of_job.GAPS]
        wide = [
            result.limits.high_value is not None and result.estimate.value > result.limits.high_value
            for result in results
        ]
        assert bool(option.barred) == any(wide)
    assert {option.uses[0] for option in asked.table.options} == {f"R{n}" for n in range(1, 7)}


def test_a_wide_gap_is_barred_and_a_small_one_is_filed() -> None:
    job = HILLCLIMB
    result = judge(job, REGISTRY["top end gap"], cylinder(1))
    high, aim = result.limits.high_value, result.limits.aim
    assert high is not None
    assert aim is not None
    found = result.found
    assert found is not None

    def gap(value: float):
        moved = replace(result, found=replace(found, estimate=result.estimate.moved(value - result.estimate.value)))
        return [of_job._gap(1, "R1", moved, fileable=fileable) for fileable in (True, False)]

    filed, as_is = gap(aim - 0.2e-3)
    assert (filed.deviation, filed.barred, filed.mended) == (0.0, "", "file to its aim")
    assert as_is.barred
    assert all("nothing makes a gap smaller" in each.barred for each in gap(high + 10e-6))


def with_walls(job: Job, walls: dict[str, str]) -> Job:
    """A job whose shells and rod housings have been read: rods in line with what a shell of 1.500 mm wants."""
    gauge = next(gauge for gauge in job.gauges.values() if gauge.id == "M0" or gauge.sense.value == "size")
    readings = [
        Reading(
            id=f"w{mark}",
            part=mark,
            feature="shell wall",
            gauge=gauge.id,
            low_si=float(mm) / 1e3,
            high_si=float(mm) / 1e3,
            unit="mm",
        )
        for mark, mm in walls.items()
    ]
    return replace(job, readings=(*job.readings, *readings))


def test_half_shells_of_a_job() -> None:
    """All rod shells read 1.860 but for one lower of 1.865: the shelled bores, with their own shells added back, tell what each mix would make."""
    job = HILLCLIMB
    walls = {f"C{half}{n}": "1.860" for half in "UL" for n in range(1, 7)} | {"CL3": "1.865"}
    asked = of_job.rod_shells(with_walls(job, walls))
    assert not asked.missing
    assert len(asked.table.options) == 6 * 36
    now = judge(job, REGISTRY["rod film"], cylinder(3)).estimate.value
    here = {option.uses: option for option in asked.table.options if option.place == "cylinder 3"}
    same, other = here["CU3", "CL3"].value, here["CU3", "CL1"].value
    assert same is not None
    assert other is not None
    assert same.value == pytest.approx(now, rel=1e-9)
    assert other.value == pytest.approx(now + 5e-6, rel=1e-9)


def test_spare_shells_go_with_those_whose_mark_begins_alike() -> None:
    sheet = HILLCLIMB.sheet
    spare = replace(
        HILLCLIMB,
        sheet=replace(
            sheet, part=(*sheet.part, Part(mark="CL9", kind=PartKind.SHELL), Part(mark="X1", kind=PartKind.SHELL))
        ),
    )
    walls = {f"C{half}{n}": "1.860" for half in "UL" for n in range(1, 7)} | {"CL9": "1.860", "X1": "1.860"}
    uses = {option.uses for option in of_job.rod_shells(with_walls(spare, walls)).table.options}
    assert {lower for _, lower in uses} == {*(f"CL{n}" for n in range(1, 7)), "CL9"}
    assert {upper for upper, _ in uses} == {f"CU{n}" for n in range(1, 7)}


def weighed(job: Job, grams: dict[str, float]) -> Job:
    parts = tuple(
        replace(part, mass_kg=grams[part.mark] / 1e3) if part.mark in grams else part for part in job.sheet.part
    )
    return replace(job, sheet=replace(job.sheet, part=parts))


def test_rods_are_shared_out_by_mass_with_the_pistons() -> None:
    """Rods that weigh what their pistons lack, in reverse; no film read: the masses alone decide, and all come to one."""
    grams = {f"C{n}": 700.0 + n for n in range(1, 5)} | {f"P{n}": 630.0 + n for n in range(1, 5)}
    job = weighed(replace(HARBOUR, readings=()), grams)
    asked = of_job.rods(job)
    assert asked.by_mass
    match = choose(asked.table)
    assert [each.uses[0] for each in match.best.options] == ["C4", "C3", "C2", "C1"]
    assert match.best.objective.spread_kg == 0.0
    told = said(job, asked, match)
    assert told.title == "Rods to cylinders, by mass"
    assert [row.value for row in told.rows] == ["1335.0 g"] * 4


def test_banks_are_balanced() -> None:
    banks = of_job.banks_of(HILLCLIMB)
    assert banks is not None
    asked = of_job.pistons(HILLCLIMB).with_rules([Balance(*banks, 0.15e-3)])
    match = choose(asked.table)
    masses = [sum(option.mass_kg or 0.0 for option in match.best.options if option.place in bank) for bank in banks]
    assert abs(masses[0] - masses[1]) <= 0.15e-3 + 1e-9
    assert of_job.banks_of(HARBOUR) is None


def test_a_part_stays_where_the_builder_wants_it() -> None:
    asked = of_job.pistons(HILLCLIMB).with_rules([Stays("P1", "cylinder 1")])
    at_one = choose(asked.table).best.at("cylinder 1")
    assert at_one is not None
    assert at_one.uses == ("P1",)


def test_as_they_are_now_is_one_of_the_sets() -> None:
    asked = of_job.pistons(HILLCLIMB)
    now, match = as_placed(asked.table, asked.present), choose(asked.table)
    assert now is not None
    assert [each.uses[0] for each in now.options] == [f"P{n}" for n in range(1, 7)]
    assert match.best.objective <= now.objective


def test_a_bore_is_ordered_for_the_part_that_comes_nearest_and_then_fits() -> None:
    """The order read back as a bore of that size makes the fit conform at both ends."""
    asked = of_job.pistons(HARBOUR)
    match = choose(asked.table)
    (miss,) = match.missing
    (order,) = orders_of(HARBOUR, asked, match)
    option = miss.nearest
    assert option is not None
    assert option.value is not None
    assert (order.part, order.at) == ("B1", miss.place)
    assert order.low_si is not None
    assert order.high_si is not None
    skirt = asked.rooms[miss.place].value - option.value.value
    low, high = option.limits.low_value, option.limits.high_value
    assert low is not None
    assert high is not None
    assert low <= order.low_si - skirt < order.high_si - skirt <= high
    told = said(HARBOUR, asked, match)
    assert told.orders == (
        f"hone bore 3 to {order.low_si * 1e3:.3f}..{order.high_si * 1e3:.3f} mm for {option.uses[0]}, plate on",
    )
    assert "Nearest is" in told.missed[0]


@pytest.mark.parametrize("job", [HARBOUR, HILLCLIMB], ids=["harbour", "hillclimb"])
@pytest.mark.parametrize(
    "table", [of_job.pistons, of_job.ring_sets, of_job.main_shells, of_job.rod_shells, of_job.rods]
)
def test_json_can_be_read_back(job: Job, table) -> None:
    asked = table(job)
    made = match_json(job, asked, choose(asked.table))
    assert json.loads(json.dumps(made, allow_nan=False)) == made
    assert len(made["best"]["places"]) == len(asked.table.places) - len(made["missing"])
