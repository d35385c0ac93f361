"""What is said of a fit: the standing and its words, the side in question, which way the remedy goes and how far, and what would decide."""

import pytest

from blockwright.engine.rules import Authority, Side, Units
from blockwright.fits.assessment import Standing
from blockwright.metrology.verdict import Acceptance

MM = 1e-3
WALL, RAIL = ("wall clearance", "cylinder 1"), ("upper rail gap", "cylinder 1")
BUILDER, MANUAL = Authority.BUILDER, Authority.MANUAL


@pytest.fixture
def wall(bench):
    """A wall clearance read with u = 2 µm. Practice for this piston (2618, 86 mm): 0.0860 to 0.1118 mm."""
    bench.gauge(id="M", resolution_si=0.0, certificate_si=0.0, repeatability_si=2e-6).bore(1)

    def lay(mm):
        return bench.read("P1", "skirt", state="bare", mm=86.0 - mm, gauge="M")

    return lay


def said(bench):
    result = bench.judge(*WALL)
    return result.words, result.side, result.hard


# ---- practice and the standard's words --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "words", "side", "hard"),
    [
        (0.100, "inside common practice", "", False), (0.060, "outside common practice", "low", True),
        (0.140, "outside common practice", "high", False), (0.0865, "undecided", "low", True), (0.1115, "undecided", "high", False),
    ],
)  # fmt: skip
def test_where_only_common_practice_speaks(wall, value, words, side, hard):
    assert said(wall(value)) == (words, side, hard)


@pytest.mark.parametrize(
    ("value", "words", "side"),
    [(0.100, "conforms", ""), (0.060, "nonconforming", "low"), (0.140, "outside common practice", "high")],
)
def test_a_maker_on_the_hard_side_and_practice_on_the_soft(wall, value, words, side):
    """The maker says what does harm: proven inside it, the fit conforms. On the loose side nobody but practice objects."""
    assert said(wall(value).limit("wall clearance", low=0.080))[:2] == (words, side)


@pytest.mark.parametrize(
    ("value", "words", "side"),
    [
        (0.100, "inside common practice", ""),
        (0.060, "outside common practice", "low"),
        (0.140, "nonconforming", "high"),
    ],
)
def test_practice_on_the_hard_side_and_a_maker_on_the_soft(wall, value, words, side):
    assert said(wall(value).limit("wall clearance", high=0.120))[:2] == (words, side)


@pytest.mark.parametrize("authority", [BUILDER, Authority.MAKER, MANUAL])
def test_any_other_authority_has_the_standards_words(wall, authority):
    assert said(wall(0.060).limit("wall clearance", 0.050, 0.080, authority=authority))[0] == "conforms"


def test_where_no_side_does_harm_any_side_of_practice_matters(wall):
    assert said(wall(0.100).limit("wall clearance", low=0.080, hard=Side.NEITHER))[0] == "inside common practice"
    assert said(wall(0.100).limit("wall clearance", 0.080, 0.120, hard=Side.NEITHER))[0] == "conforms"


def test_a_concession_is_said_in_the_same_words_whatever_it_was_against(wall):
    assert said(wall(0.060).sign("concession", *WALL, 0.060))[0] == "out, under concession"


def test_open_and_unlimited_in_words(bench):
    assert (bench.judge(*WALL).words, bench.judge(*WALL).side) == ("open", "")
    bench.bore(1).read("P1", "skirt", state="coated", mm=86.0)
    assert bench.judge("coated wall clearance", "cylinder 1").words == "no limit given"


def test_a_fit_without_limits_has_no_chances_remedy_or_doubt(bench):
    bench.bore(1).read("P1", "skirt", state="coated", mm=86.0)
    result = bench.judge("coated wall clearance", "cylinder 1")
    assert (result.chances, result.decider, result.remedy, result.doubtful_bound, result.hard) == (
        None,
        None,
        "",
        None,
        False,
    )


# ---- guarded and plain ------------------------------------------------------------------------------------------------------


def test_guarded_wants_proof_either_way(wall):
    """At 1.645 u = 3.29 µm from a limit the chance is 95 %: 0.0434 is proven inside 0.040, 0.0432 is not; 0.0366 is proven outside."""
    bench = wall(0.0434).limit("wall clearance", 0.040, 0.080)
    assert bench.judge(*WALL).standing is Standing.CONFORMS
    for value, standing in (
        (0.0432, Standing.UNDECIDED),
        (0.0368, Standing.UNDECIDED),
        (0.0366, Standing.NONCONFORMING),
    ):
        bench.withdraw("P1", "skirt")
        assert wall(value).judge(*WALL).standing is standing


@pytest.mark.parametrize(
    ("value", "standing"),
    [
        (0.0401, Standing.CONFORMS),
        (0.0399, Standing.NONCONFORMING),
        (0.0799, Standing.CONFORMS),
        (0.0801, Standing.NONCONFORMING),
    ],
)
def test_plain_takes_the_reading_at_its_word(wall, value, standing):
    bench = wall(value).limit("wall clearance", 0.040, 0.080)
    assert bench.judge(*WALL).standing is Standing.UNDECIDED
    bench.rules["acceptance"] = Acceptance.PLAIN
    result = bench.judge(*WALL)
    assert (result.standing, result.decider) == (standing, None)
    assert (result.side == "") == (standing is Standing.CONFORMS)


def test_a_stricter_level_leaves_more_undecided(wall):
    """0.0434 is proven at 95 %; 99 % asks for 2.326 u = 4.65 µm."""
    bench = wall(0.0434).limit("wall clearance", 0.040, 0.080)
    bench.rules["level"] = 0.99
    assert bench.judge(*WALL).standing is Standing.UNDECIDED


def test_an_undecided_fit_says_how_many_repeats_would_do(wall):
    """2 µm from the limit: 1.645 x 2 / sqrt(n) <= 2 from n = 2.71, so three readings in all."""
    result = wall(0.042).limit("wall clearance", 0.040, 0.080).judge(*WALL)
    assert (result.standing, result.decider.repeats) == (Standing.UNDECIDED, 3)
    assert wall(0.042).judge(*WALL).decider.repeats == 3


# ---- remedies ---------------------------------------------------------------------------------------------------------------


def remedy(bench):
    return bench.judge(*WALL).remedy


def hone(by):
    return f"hone bore 1 by {by} mm on the diameter, plate on, or fit a piston {by} mm smaller"


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (0.030, hone("0.025")), (0.0405, hone("0.015")), (0.060, ""), (0.0792, "fit a piston 0.024 mm larger, or bore to the next size"),
        (0.100, "fit a piston 0.045 mm larger, or bore to the next size"),
    ],
)  # fmt: skip
def test_it_leads_to_the_aim_from_either_side(wall, value, expected):
    """Limits 0.040 to 0.080 with an aim of 0.055, nearer to the low side; 0.0405 and 0.0792 are undecided, 0.060 conforms."""
    assert remedy(wall(value).limit("wall clearance", 0.040, 0.080, 0.055)) == expected


def test_without_an_aim_it_leads_to_the_middle(wall):
    assert remedy(wall(0.030).limit("wall clearance", 0.040, 0.080)) == hone("0.030")


def test_in_inch_the_amount_is_in_thou(wall):
    """0.030 to 0.0554 mm: 0.0254 mm is one thou."""
    bench = wall(0.030).limit("wall clearance", 0.040, 0.080, 0.0554)
    bench.rules["units"] = Units.INCH
    assert "by 1.0 thou on the diameter" in remedy(bench)


def test_a_size_to_work_to_is_in_inches_and_its_amount_in_thou(bench):
    """A big end of 54.001 mm, wanted at 53.975 mm = 2.1250 in: 0.026 mm = 1.0 thou too large."""
    bench.rules["units"] = Units.INCH
    bench.read("C1", "big end", state="caps torqued; shells out", square=54.001, left=54.001, right=54.001)
    bench.limit("big-end size", 53.970, 53.980, 53.975)
    assert (
        bench.judge("big-end size", "cylinder 1").remedy == "have the cap ground and the big end resized to 2.1250 in"
    )


def rail(bench, value, **limits):
    """A rail gap read with u = 10 µm against what the test gives."""
    bench.gauge(id="B", resolution_si=0.0, certificate_si=0.0, repeatability_si=10e-6)
    bench.read("R1", "upper rail gap", "cylinder 1", "plate on", mm=value, gauge="B")
    return (bench.limit("upper rail gap", **limits) if limits else bench).judge(*RAIL)


def test_one_limit_out(bench):
    result = rail(bench, 0.300)
    assert (result.standing, result.side) == (Standing.NONCONFORMING, "low")
    assert result.remedy == "file it by 0.080 mm to 0.380 mm, a little at a time, in bore 1"


@pytest.mark.parametrize("value", [0.375, 0.385])
def test_too_near_to_the_only_limit_it_is_never_called_too_large(bench, value):
    """Only a least gap of 0.380 mm: just above it there is nothing to take off and nothing too large, only something to prove."""
    result = rail(bench, value)
    assert (result.standing, result.side) == (Standing.UNDECIDED, "low")
    assert result.remedy == ("file it by 0.005 mm to 0.380 mm, a little at a time, in bore 1" if value < 0.380 else "")


def test_with_an_aim_beyond_the_only_limit_it_leads_there(bench):
    assert (
        rail(bench, 0.385, low=0.380, aim=0.420).remedy
        == "file it by 0.035 mm to 0.420 mm, a little at a time, in bore 1"
    )


def test_near_a_limit_but_past_the_aim_there_is_nothing_to_be_done_by_size(bench):
    """Limits 0.380 to 0.480 with the aim at 0.385: 0.395 cannot be told, and working it to its aim would only make that worse."""
    result = rail(bench, 0.395, low=0.380, high=0.480, aim=0.385)
    assert (result.standing, result.remedy) == (Standing.UNDECIDED, "")


def test_form_that_is_only_too_near_to_tell_is_not_machined(bench):
    bench.gauge(id="M", resolution_si=0.0, certificate_si=0.0, repeatability_si=2e-6)
    for taper, standing, told in ((0.012, Standing.UNDECIDED, False), (0.030, Standing.NONCONFORMING, True)):
        bench.readings = []
        result = bench.bore(1, top=(taper, taper), gauge="M").judge("bore taper", "cylinder 1")
        assert (result.standing, bool(result.remedy)) == (standing, told)
