"""Who decides each side: builder > part maker > engine manual > common practice; computed bounds only tighten a hard side."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.engine.rules import Authority, LimitRow, LimitRule, Side
from blockwright.fits.assess import assess
from blockwright.fits.assessment import Standing
from blockwright.fits.limits import Offer, offer_from, resolve

ORDER = (Authority.BUILDER, Authority.MAKER, Authority.MANUAL, Authority.PRACTICE)
"""Strongest first, as the design has it."""
PAIRS = list(itertools.combinations(ORDER, 2))
MM = 1e-3
WALL = ("wall clearance", "cylinder 1")


def offer(authority, low=None, high=None, aim=None, hard=None, source="sheet"):
    return Offer(authority, source, low, aim, high, hard)


# ---- authorities ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("stronger", "weaker"), PAIRS)
@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("side", ["low", "high"])
def test_the_stronger_authority_decides_a_side(stronger, weaker, turned, side):
    """Whichever is tighter, and in whatever order they come."""
    for strong, weak in ((5.0, 4.0), (4.0, 5.0)):
        offers = [offer(stronger, **{side: strong}), offer(weaker, **{side: weak})]
        bound = getattr(resolve(offers[::-1] if turned else offers, Side.LOW), side)
        assert (bound.value, bound.authority) == (strong, stronger)


@pytest.mark.parametrize(("stronger", "weaker"), PAIRS)
def test_each_side_is_decided_on_its_own(stronger, weaker):
    limits = resolve([offer(stronger, low=1.0), offer(weaker, low=0.0, high=9.0)], Side.LOW)
    assert (limits.low.value, limits.low.authority) == (1.0, stronger)
    assert (limits.high.value, limits.high.authority) == (9.0, weaker)
    assert not limits.notes


def test_every_offer_stays_in_sight_strongest_first():
    limits = resolve([offer(a, low=1.0) for a in reversed(ORDER)] + [offer(Authority.COMPUTED, low=0.5)], Side.LOW)
    assert tuple(each.authority for each in limits.offers) == (*ORDER, Authority.COMPUTED)


def test_no_offers_no_limits():
    limits = resolve([], Side.LOW)
    assert not limits.known
    assert not limits.empty
    assert (limits.low, limits.high, limits.aim) == (None, None, None)


# ---- the aim ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("offers", "aim"),
    [
        ([offer(Authority.MAKER, 1.0, 5.0, 2.0)], 2.0),
        ([offer(Authority.MAKER, 1.0, 5.0)], 3.0),
        ([offer(Authority.BUILDER, 1.0), offer(Authority.MAKER, 0.0, 5.0, 2.0)], 2.0),
        ([offer(Authority.BUILDER, 1.0, 3.0), offer(Authority.MAKER, 0.0, 5.0, 2.5)], 2.0),
        ([offer(Authority.BUILDER, 3.0), offer(Authority.MAKER, 0.0, 5.0, 2.0)], 4.0),
        ([offer(Authority.BUILDER, 3.0), offer(Authority.MAKER, 0.0, None, 2.0)], None),
        ([offer(Authority.MAKER, low=1.0)], None),
        ([offer(Authority.MAKER, low=1.0), offer(Authority.PRACTICE, 0.0, 5.0, 2.0)], 2.0),
    ],
    ids=[
        "stated", "middle of one source", "of the next source", "middle of the stronger", "moved inside", "dropped", "one side", "from practice",
    ],
)  # fmt: skip
def test_the_aim(offers, aim):
    assert resolve(offers, Side.LOW).aim == aim


limit = st.one_of(st.none(), st.floats(-10, 10))


@given(
    st.lists(st.builds(offer, st.sampled_from(tuple(Authority)), limit, limit, limit), max_size=6),
    st.sampled_from(Side),
)
def test_an_aim_always_lies_inside(offers, hard):
    limits = resolve(offers, hard)
    if limits.aim is not None and not limits.empty:
        assert limits.low is None or limits.low.value <= limits.aim
        assert limits.high is None or limits.aim <= limits.high.value


# ---- how hard ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("hard", "low", "high"),
    [(Side.LOW, True, False), (Side.HIGH, False, True), (Side.BOTH, True, True), (Side.NEITHER, False, False)],
)
def test_which_side_is_hard(hard, low, high):
    limits = resolve([offer(Authority.MAKER, 1.0, 2.0)], hard)
    assert (limits.low.hard, limits.high.hard) == (low, high)


def test_a_maker_may_say_that_another_side_does_harm():
    limits = resolve(
        [offer(Authority.MAKER, 1.0, 2.0, hard=Side.BOTH), offer(Authority.PRACTICE, hard=Side.LOW)], Side.LOW
    )
    assert (limits.low.hard, limits.high.hard) == (True, True)


def test_the_strongest_that_says_so_decides_that_too():
    limits = resolve(
        [offer(Authority.MAKER, 1.0, 2.0, hard=Side.BOTH), offer(Authority.BUILDER, hard=Side.NEITHER)], Side.LOW
    )
    assert (limits.low.hard, limits.high.hard) == (False, False)


# ---- computed bounds --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("authority", ORDER)
def test_a_computed_bound_tightens_the_hard_side_and_says_so(authority):
    limits = resolve([offer(authority, 1.0, 5.0), offer(Authority.COMPUTED, low=2.0, source="hot ring")], Side.LOW)
    assert (limits.low.value, limits.low.authority, limits.low.hard) == (2.0, Authority.COMPUTED, True)
    assert limits.notes == (f"the low limit of {authority} (sheet) is tightened by computation: hot ring",)


def test_on_the_high_side_it_tightens_downwards():
    limits = resolve([offer(Authority.MAKER, 1.0, 5.0), offer(Authority.COMPUTED, high=4.0, source="heat")], Side.HIGH)
    assert (limits.high.value, limits.low.value) == (4.0, 1.0)
    assert limits.notes == ("the high limit of part maker (sheet) is tightened by computation: heat",)


@pytest.mark.parametrize(
    ("side", "hard", "value"),
    [
        ("low", Side.LOW, 0.5),
        ("high", Side.HIGH, 5.5),
        ("low", Side.HIGH, 2.0),
        ("high", Side.LOW, 4.0),
        ("low", Side.NEITHER, 2.0),
    ],
    ids=["never loosens low", "never loosens high", "soft low", "soft high", "no hard side"],
)
def test_otherwise_it_changes_nothing(side, hard, value):
    maker = offer(Authority.MAKER, 1.0, 5.0)
    limits = resolve([maker, offer(Authority.COMPUTED, **{side: value})], hard)
    assert (limits.low.value, limits.high.value, limits.notes) == (1.0, 5.0, ())


def test_of_two_computed_bounds_the_tighter_holds():
    offers = [offer(Authority.MAKER, low=1.0), *(offer(Authority.COMPUTED, low=low) for low in (3.0, 2.0))]
    assert resolve(offers, Side.LOW).low.value == 3.0


def test_where_nobody_else_speaks_a_computed_bound_stands_on_its_hard_side():
    limits = resolve([offer(Authority.COMPUTED, low=2.0, high=9.0)], Side.LOW)
    assert (limits.low.value, limits.low.authority, limits.high) == (2.0, Authority.COMPUTED, None)


def test_a_computed_bound_beyond_the_aim_moves_the_aim_into_the_window():
    limits = resolve([offer(Authority.MAKER, 1.0, 5.0, 2.0), offer(Authority.COMPUTED, low=3.0)], Side.LOW)
    assert limits.aim == 4.0


def test_assess_takes_computed_bounds_and_shows_them(bench):
    """A maker's gap of 0.300 at least, tightened to 0.400 by what heat demands: 0.350 is then out."""
    bench.read("R1", "top gap", "cylinder 1", "plate on", mm=0.350).limit("top end gap", 0.300, 0.600)

    def computed(job, fit, position):
        return (offer(Authority.COMPUTED, low=0.400 * MM, source="hot"),) if fit.name == "top end gap" else ()

    [result] = [
        r
        for r in assess(bench.job(), computed).results
        if (r.fit.name, str(r.position)) == ("top end gap", "cylinder 1")
    ]
    assert (result.standing, result.side, result.hard) == (Standing.NONCONFORMING, "low", True)
    assert result.notes == ("the low limit of part maker (invented sheet) is tightened by computation: hot",)
    assert bench.judge("top end gap", "cylinder 1").standing is Standing.CONFORMS


# ---- sources that exclude each other ----------------------------------------------------------------------------------------


def test_an_empty_window_is_reported_and_never_averaged():
    limits = resolve(
        [offer(Authority.MAKER, low=5.0, source="leaflet"), offer(Authority.MANUAL, high=4.0, source="page 12")],
        Side.LOW,
    )
    assert limits.empty
    assert (limits.low.value, limits.high.value) == (5.0, 4.0)
    assert limits.notes == ("no window is left: part maker (leaflet) and engine manual (page 12) exclude each other",)


def test_limits_that_meet_leave_no_window_either():
    assert resolve([offer(Authority.MAKER, low=4.0), offer(Authority.MANUAL, high=4.0)], Side.LOW).empty


def test_a_source_without_a_name_is_named_by_its_authority():
    limits = resolve(
        [offer(Authority.MAKER, low=5.0, source=""), offer(Authority.MANUAL, high=4.0, source="")], Side.LOW
    )
    assert limits.notes == ("no window is left: part maker and engine manual exclude each other",)


def test_a_computed_bound_can_empty_the_window():
    limits = resolve([offer(Authority.MAKER, 1.0, 3.0), offer(Authority.COMPUTED, low=4.0, source="heat")], Side.LOW)
    assert limits.empty
    assert len(limits.notes) == 2


def test_a_fit_with_an_empty_window_is_undecided_whatever_it_reads(bench):
    bench.bore(1).read("P1", "skirt", state="bare", mm=85.950)
    bench.limit("wall clearance", low=0.060, source="leaflet").limit(
        "wall clearance", high=0.050, authority=Authority.MANUAL, source="book"
    )
    result = bench.judge(*WALL)
    assert (result.standing, result.remedy, result.decider, result.side) == (Standing.UNDECIDED, "", None, "")
    assert result.notes == ("no window is left: part maker (leaflet) and engine manual (book) exclude each other",)
    assert result in bench.assess().unsettled


# ---- a rule's own limits ----------------------------------------------------------------------------------------------------


def rule(**limits):
    return LimitRule(fit="top end gap", authority=Authority.MAKER, source="sheet", **limits)


def sides(rule, size):
    found = offer_from(rule, size)
    return found.low, found.aim, found.high


def test_limits_per_size():
    """0.0045, 0.0050 and 0.0070 per mm of an 86 mm bore: 0.387, 0.430, 0.602 mm."""
    found = sides(rule(low_per_size=0.0045, aim_per_size=0.0050, high_per_size=0.0070), 0.086)
    assert found == pytest.approx((0.387 * MM, 0.430 * MM, 0.602 * MM), rel=1e-12)


def test_limits_per_size_need_a_size():
    assert sides(rule(low_per_size=0.0045), None) == (None, None, None)


TABLE = rule(
    by_size=(
        LimitRow(to_m=0.100, low_si=0.45 * MM, high_si=0.75 * MM),
        LimitRow(to_m=0.080, low_si=0.35 * MM, aim_si=0.40 * MM, high_si=0.65 * MM),
    )
)


@pytest.mark.parametrize(
    ("size_mm", "expected"),
    [
        (40.0, (0.35, 0.40, 0.65)), (80.0, (0.35, 0.40, 0.65)), (80.001, (0.45, None, 0.75)), (100.0, (0.45, None, 0.75)),
        (100.001, (None, None, None)),
    ],
)  # fmt: skip
def test_a_table_by_size_at_its_edges(size_mm, expected):
    """Up to and including; its rows may stand in any order; beyond its last row it says nothing."""
    assert sides(TABLE, size_mm * MM) == pytest.approx(tuple(None if e is None else e * MM for e in expected))


def test_a_value_goes_before_a_rate_and_a_rate_before_the_table():
    table = (LimitRow(to_m=0.1, low_si=3.0, aim_si=3.5, high_si=4.0),)
    found = sides(rule(low_si=1.0, low_per_size=20.0, aim_per_size=20.0, by_size=table), 0.1)
    assert found == pytest.approx((1.0, 2.0, 4.0))


def test_a_builders_rule_without_a_source_is_known_by_who_and_why():
    assert (
        offer_from(LimitRule(fit="x", authority=Authority.BUILDER, by="A. Tester", why="as last time"), None).source
        == "A. Tester: as last time"
    )


@pytest.mark.parametrize(
    ("fit", "at", "size_mm"),
    [
        ("wall clearance", "cylinder 1", 86.0), ("top end gap", "cylinder 1", 86.0), ("upper rail gap", "cylinder 1", 86.0),
        ("main film", "main 1", 60.0), ("rod film", "cylinder 1", 50.0), ("pin in bush", "cylinder 1", 22.0),
        ("big-end size", "cylinder 1", 54.0), ("rod journal taper", "throw 1", 50.0),
    ],
)  # fmt: skip
def test_per_size_means_the_bore_or_journal_of_the_fit(bench, fit, at, size_mm):
    bench.limits.append(LimitRule(fit=fit, authority=Authority.MAKER, low_per_size=0.001))
    assert bench.judge(fit, at).limits.low.value == pytest.approx(0.001 * size_mm * MM, rel=1e-12)


# ---- for one position -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("turned", [False, True])
def test_a_rule_for_one_position_goes_before_a_general_one(bench, turned):
    rules = [("", 0.030), ("cylinder 2", 0.050)]
    for at, low in rules[::-1] if turned else rules:
        bench.limit("wall clearance", low=low, at=at)
    assert bench.judge("wall clearance", "cylinder 1").limits.low.value == pytest.approx(0.030 * MM)
    assert bench.judge("wall clearance", "cylinder 2").limits.low.value == pytest.approx(0.050 * MM)


def test_but_not_before_a_stronger_authority(bench):
    bench.limit("wall clearance", low=0.050, at="cylinder 1").limit(
        "wall clearance", low=0.030, authority=Authority.BUILDER
    )
    assert bench.judge(*WALL).limits.low.value == pytest.approx(0.030 * MM)


def test_what_the_rule_for_one_position_leaves_open_the_general_one_fills(bench):
    bench.limit("wall clearance", low=0.050, at="cylinder 1").limit("wall clearance", 0.030, 0.090)
    limits = bench.judge(*WALL).limits
    assert (limits.low.value, limits.high.value) == pytest.approx((0.050 * MM, 0.090 * MM))


def test_a_makers_hard_side_reaches_the_verdict(bench):
    """Loose wall clearance is soft by itself; this maker says that it breaks his skirts."""
    bench.bore(1).read("P1", "skirt", state="bare", mm=85.900).limit("wall clearance", 0.040, 0.080, hard=Side.BOTH)
    result = bench.judge(*WALL)
    assert (result.side, result.hard) == ("high", True)
