"""Options from estimates and limits, and what to order from them: worked by hand."""

from __future__ import annotations

import pytest

from blockwright.choices.matching.choosing import choose
from blockwright.choices.matching.model import Table, natural, option_of, outside, width_of
from blockwright.choices.matching.orders import hone_order
from blockwright.choices.matching.tables import NO_SHIM, gaskets, half_shells, shims
from blockwright.engine.rules import Authority
from blockwright.fits.limits import Bound, Limits
from blockwright.metrology.estimate import Cause, Estimate, Share, Source, exact

UM = 1e-6


def limits(low: float | None, high: float | None, aim: float | None = None, hard: str = "low") -> Limits:
    """Limits in µm."""
    bounds = [
        None if each is None else Bound(each * UM, Authority.MAKER, "", hard == side)
        for each, side in ((low, "low"), (high, "high"))
    ]
    return Limits(bounds[0], bounds[1], None if aim is None else aim * UM)


def test_deviation_in_units_of_the_width() -> None:
    made = option_of("cylinder 1", ("P1",), exact(70 * UM), limits(50, 90, 60))
    assert made is not None
    assert (made.deviation, made.steps, made.barred) == (pytest.approx(0.25), 2500, "")
    middle = option_of("cylinder 1", ("P1",), exact(60 * UM), limits(50, 90))
    assert middle is not None
    assert middle.deviation == pytest.approx(-0.25)


@pytest.mark.parametrize(("held", "width"), [
    (limits(50, 90), 40 * UM), (limits(50, None, 60), 20 * UM), (limits(None, 90, 60), 60 * UM), (limits(50, None), None),
    (limits(90, 50), None), (Limits(), None),
])  # fmt: skip
def test_width(held: Limits, width: float | None) -> None:
    assert width_of(held) == (None if width is None else pytest.approx(width))
    assert (option_of("main 1", ("S1",), exact(0.0), held) is None) == (width is None)


def test_only_a_hard_side_forbids() -> None:
    tight = option_of("cylinder 1", ("P1",), exact(42 * UM), limits(50, 90))
    loose = option_of("cylinder 1", ("P1",), exact(95 * UM), limits(50, 90))
    assert tight is not None
    assert loose is not None
    assert (tight.barred, tight.miss) == ("under its hard limit", pytest.approx(-8 * UM))
    assert (loose.barred, outside(loose)) == ("", pytest.approx(5 * UM))


def test_half_shell_mixes_out_of_grades() -> None:
    """Housings less journals leave 3.050 and 3.045 mm for a film of .050: walls of 1.500 and 1.4975 in mixes hit both."""
    walls = {"red": exact(1.500e-3), "blue": exact(1.4975e-3)}
    rooms = {"main 1": exact(3.050e-3), "main 2": exact(3.0475e-3), "main 3": exact(3.045e-3)}
    held = {place: limits(38, 62, 50) for place in rooms}
    options = half_shells(rooms, held, walls, walls)
    assert len(options) == 9, "three mixes at each main: both red, one of each, both blue"
    match = choose(Table(tuple(rooms), options, (), {"red": 3, "blue": 3}))
    assert [tuple(sorted(each.uses)) for each in match.best.options] == [
        ("red", "red"),
        ("blue", "red"),
        ("blue", "blue"),
    ]
    assert match.best.objective[:3] == (0, 0, 0)
    short = choose(Table(tuple(rooms), options, (), {"red": 1, "blue": 5}))
    assert [tuple(sorted(each.uses)) for each in short.best.options] == [
        ("blue", "red"),
        ("blue", "blue"),
        ("blue", "blue"),
    ]
    assert short.best.objective.worst_deviation == pytest.approx(2.5 / 24, abs=1e-4)


def test_uppers_and_lowers_of_their_own() -> None:
    rooms, held = {"main 1": exact(3.05e-3)}, {"main 1": limits(38, 62, 50)}
    options = half_shells(rooms, held, {"U1": exact(1.5e-3)}, {"L1": exact(1.5e-3), "L2": exact(1.49e-3)})
    assert [each.uses for each in options] == [("U1", "L1"), ("U1", "L2")]
    either = {"S8": exact(1.5e-3), "S9": exact(1.5e-3)}
    mixes = half_shells(rooms, held, {"S1": exact(1.5e-3), **either}, {"S2": exact(1.5e-3), **either})
    assert sorted("+".join(sorted(each.uses)) for each in mixes) == [
        "S1+S2", "S1+S8", "S1+S9", "S2+S8", "S2+S9", "S8+S8", "S8+S9", "S9+S9",
    ]  # fmt: skip


def test_valve_shims_out_of_a_set() -> None:
    """The size nearest to the one wanted, as far as the set goes: two valves want the only 2.60."""
    sizes = {"2.55": exact(2.55e-3), "2.60": exact(2.60e-3), "2.65": exact(2.65e-3)}
    rooms = {"valve 1": exact(2.80e-3), "valve 2": exact(2.795e-3)}
    options = shims(rooms, {valve: limits(150, 250, 200) for valve in rooms}, sizes)
    match = choose(Table(tuple(rooms), options, (), dict.fromkeys(sizes, 1)))
    assert [each.uses for each in match.best.options] == [("2.60",), ("2.55",)], (
        "lashes .200 and .245, not .250 and .195"
    )
    plenty = choose(Table(tuple(rooms), options, (), dict.fromkeys(sizes, 5)))
    assert [each.uses for each in plenty.best.options] == [("2.60",), ("2.60",)]


def test_spring_shims_in_stacks_or_none() -> None:
    """Installed heights of 40.0, 40.5 and 41.3 mm without a shim, wanted 40.0: none, one of .5, and .5 with .8."""
    sizes = {NO_SHIM: exact(0.0), "0.5": exact(0.5e-3), "0.8": exact(0.8e-3)}
    rooms = {"valve 1": exact(40.0e-3), "valve 2": exact(40.5e-3), "valve 3": exact(41.3e-3)}
    options = shims(rooms, {valve: limits(39900, 40100, 40000) for valve in rooms}, sizes, most=2)
    match = choose(Table(tuple(rooms), options, (), {NO_SHIM: 9, "0.5": 4, "0.8": 2}))
    assert [each.uses for each in match.best.options] == [(NO_SHIM,), ("0.5",), ("0.5", "0.8")]


def test_a_gasket_is_chosen_for_the_cylinder_it_serves_worst() -> None:
    """Decks of -.10 and +.05 mm: the thin gasket brings one piston under the hard limit of .80, the thick one does not."""
    decks = [exact(-0.10e-3), exact(0.05e-3)]
    options = gaskets(
        "head gasket",
        decks,
        limits(800, 1100, 950),
        {"thin": exact(0.85e-3), "middle": exact(0.95e-3), "thick": exact(1.1e-3)},
    )
    told = {each.uses[0]: (bool(each.barred), round(each.deviation, 4)) for each in options}
    assert told == {"thin": (True, -0.6667), "middle": (False, -0.3333), "thick": (False, 0.6667)}
    match = choose(Table(("head gasket",), options))
    assert match.best.options[0].uses == ("middle",)


def errors(value: float, u: float) -> Estimate:
    return Estimate(value, {Source(Cause.REPEATABILITY, "r"): Share(u)})


def test_a_bore_to_hone() -> None:
    """Bore 86.000, clearance .040, wanted .065 to .090: the bore wants 86.025 to 86.050, and less at both ends by what the reading may be off."""
    sure = option_of("cylinder 2", ("P4",), exact(40 * UM), limits(65, 90))
    read = option_of("cylinder 2", ("P4",), errors(40 * UM, 3 * UM), limits(65, 90))
    assert sure is not None
    assert read is not None
    order = hone_order("B1", 2, exact(86e-3), sure, plate=True)
    guarded = hone_order("B1", 2, exact(86e-3), read, plate=False)
    assert order is not None
    assert guarded is not None
    assert (order.part, order.feature, order.at, order.work) == ("B1", "bore", "cylinder 2", "hone for P4, plate on")
    assert (order.low_si, order.high_si) == (pytest.approx(86.025e-3), pytest.approx(86.050e-3))
    assert (guarded.low_si, guarded.high_si) == (pytest.approx(86.031e-3), pytest.approx(86.044e-3))
    assert guarded.work == "hone for P4"


def test_nothing_makes_a_bore_smaller() -> None:
    loose = option_of("cylinder 2", ("P4",), exact(95 * UM), limits(65, 90))
    assert loose is not None
    assert hone_order("B1", 2, exact(86e-3), loose, plate=True) is None


def test_marks_in_the_order_in_which_a_builder_counts() -> None:
    assert sorted(["P10", "P2", "p1", "MU3", "M1"], key=natural) == ["M1", "MU3", "p1", "P2", "P10"]
