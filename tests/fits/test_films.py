"""Film clearance by two routes, the journal that a rod turns on, half-shell mixes; crush and press on both sides."""

import math

import pytest

from blockwright.engine.layout import Case, Layout, PinHold
from blockwright.fits.assessment import Standing

MM = 1e-3
IN, OUT = "caps torqued; shells in", "caps torqued; shells out"
MAIN, ROD = ("main film", "main 1"), ("rod film", "cylinder 1")


def shelled(bench, mm=60.050, **more):
    return bench.read("B", "main shelled bore", "main 1", IN, square=mm, **more)


def walls(bench, housing=64.050, upper=2.000, lower=2.000, **more):
    bench.read("B", "main housing", "main 1", OUT, square=housing, left=housing, right=housing, **more)
    return bench.read("MU1", "shell wall", mm=upper, **more).read("ML1", "shell wall", mm=lower, **more)


@pytest.fixture
def journalled(bench):
    return bench.journal("main journal", "main 1", front=(0.001, 0.002), rear=(0.003, 0.000))


def test_the_thickest_place_of_the_journal_governs(journalled):
    result = shelled(journalled).judge(*MAIN)
    assert result.estimate.value == pytest.approx(0.047 * MM, rel=1e-9)  # 60.050 - 60.003
    assert result.found.governs == "square to the parting line, against main journal 1, rear across"
    assert result.found.notes == ()


def test_by_housing_and_walls(journalled):
    result = walls(journalled).judge(*MAIN)
    assert result.estimate.value == pytest.approx(0.047 * MM, rel=1e-9)  # 64.050 - 2 x 2.000 - 60.003
    assert result.found.governs.startswith(
        "square to the parting line, by housing and shell walls, against main journal 1"
    )
    assert [role for role, _ in result.found.sizes] == [
        "main housing, square",
        "wall of shell MU1",
        "wall of shell ML1",
        "main journal 1, rear across",
    ]


def test_only_the_square_direction_of_the_housing_counts(journalled):
    """A half-shell bearing is closest square to its parting line; the other two directions are form."""
    journalled.read("B", "main housing", "main 1", OUT, square=64.050, left=64.010, right=64.010)
    journalled.read("MU1", "shell wall", mm=2.0).read("ML1", "shell wall", mm=2.0)
    assert journalled.judge(*MAIN).estimate.value == pytest.approx(0.047 * MM, rel=1e-9)


def test_a_half_shell_mix_gives_half_the_step(journalled):
    """One shell 0.005 mm thinner: 0.005 mm more room, where a pair would give 0.010."""
    assert walls(journalled, lower=1.995).judge(*MAIN).estimate.value == pytest.approx(0.052 * MM, rel=1e-9)


def real(bench):
    """A micrometer (s 1.5 µm) and a bore gauge read as a size (s 0.6 µm), whose repeats are all their doubt."""
    bench.gauge(id="M", certificate_si=0.0, repeatability_si=1.5e-6)
    return bench.gauge(id="H", certificate_si=0.0, repeatability_si=0.6e-6)


def test_both_routes_agree(journalled):
    """60.050 against 64.051 - 4.000: 0.001 mm apart; u of the difference sqrt(0.6² + 3 x 1.5²) = 2.67 µm, so ±5.2 allows it."""
    result = walls(shelled(real(journalled), gauge="H"), housing=64.051, gauge="M").judge(*MAIN)
    assert result.estimate.value == pytest.approx(0.047 * MM, rel=1e-9)
    assert result.found.notes == ("by the other route 0.048 mm: the two agree",)


def test_both_routes_disagree(journalled):
    result = walls(shelled(real(journalled), gauge="H"), housing=64.056, gauge="M").judge(*MAIN)
    assert result.estimate.value == pytest.approx(0.047 * MM, rel=1e-9)
    assert result.found.notes == (
        "by the other route 0.053 mm: the two disagree by more than their readings allow; find out why before you build",
    )


def test_the_journals_own_doubt_is_no_excuse_for_a_disagreement(bench):
    """Both routes rest on one journal reading: however poor it is, 0.006 mm between two good bores is a disagreement."""
    bench.gauge(id="POOR", repeatability_si=20e-6, certificate_si=0.0).gauge(
        id="H", certificate_si=0.0, repeatability_si=0.6e-6
    )
    bench.read(
        "K",
        "main journal",
        "main 1",
        front_across=60.003,
        front_along=60.0,
        rear_across=60.0,
        rear_along=60.0,
        gauge="POOR",
    )
    result = walls(shelled(bench, gauge="H"), housing=64.056, gauge="H").judge(*MAIN)
    assert result.estimate.u > 19e-6
    assert "disagree" in result.found.notes[0]


@pytest.mark.parametrize(("shelled_with", "walls_with", "by_walls"), [("H", "M", False), ("M", "H", True)])
def test_the_route_with_the_smaller_uncertainty_decides(journalled, shelled_with, walls_with, by_walls):
    """One reading at 1.5 µm against three at 0.6 (1.04 µm together), or one at 0.6 against three at 1.5."""
    result = walls(shelled(real(journalled), gauge=shelled_with), housing=64.051, gauge=walls_with).judge(*MAIN)
    assert ("by housing and shell walls" in result.found.governs) == by_walls
    assert result.estimate.value == pytest.approx((0.048 if by_walls else 0.047) * MM, rel=1e-9)
    assert result.estimate.u == pytest.approx((0.6e-6 * math.sqrt(3.0)) if by_walls else 0.6e-6, rel=1e-6)


def test_a_half_read_second_route_is_passed_over(journalled):
    walls(shelled(journalled)).withdraw("ML1", "shell wall")
    result = journalled.judge(*MAIN)
    assert result.standing is not Standing.OPEN
    assert result.found.notes == ()


def test_without_either_bore_the_first_route_is_asked_for(journalled):
    assert journalled.judge(*MAIN).missing == ("main shelled bore of B at main 1 (square), caps torqued, shells in",)


def test_journal_and_bore_are_both_asked_for(bench):
    missing = bench.judge(*MAIN).missing
    assert len(missing) == 5
    assert missing[0] == "main journal of K at main 1 (front across)"
    assert missing[-1] == "main shelled bore of B at main 1 (square), caps torqued, shells in"


@pytest.mark.parametrize("state", ["shells in", "caps off; shells in", "case torqued; shells in", ""])
def test_a_bore_that_is_not_bolted_up_does_not_serve(journalled, state):
    journalled.read("B", "main shelled bore", "main 1", state, square=60.050)
    assert journalled.judge(*MAIN).standing is Standing.OPEN


def test_a_split_case_wants_its_case_torqued(journalled):
    journalled.engine["case"] = Case.SPLIT
    journalled.read("B", "main shelled bore", "main 1", "case torqued; shells in", square=60.050)
    assert journalled.judge(*MAIN).estimate.value == pytest.approx(0.047 * MM, rel=1e-9)


def test_no_crank_is_said(bench):
    del bench.parts["K"]
    assert shelled(bench).judge(*MAIN).missing == ("no crank among the parts",)


def test_shells_not_assigned_leave_the_other_route(journalled):
    journalled.seat(1, shells=())
    assert shelled(journalled).judge(*MAIN).estimate.value == pytest.approx(0.047 * MM, rel=1e-9)
    assert journalled.judge("main shell crush", "main 1").missing == ("two shells assigned at main 1",)


# ---- which throw a rod turns on ---------------------------------------------------------------------------------------------


def vee(bench, shared):
    """A V4 numbered along each bank, 1 and 2, 3 and 4: on shared throws 1 and 3 turn on throw 1, 2 and 4 on throw 2."""
    bench.engine |= {
        "layout": Layout.V,
        "cylinders": 4,
        "banks": ((1, 2), (3, 4)),
        "bank_angle_rad": math.pi / 2,
        "shared_throws": shared,
    }
    for number in (1, 2, 3, 4):
        bench.furnish(number).read(f"C{number}", "big end shelled bore", state=IN, square=50.050)
    for number in (1, 2, 3, 4):
        bench.journal("rod journal", f"throw {number}", front=(0.001 * number, 0.0), size=50.0)
    return bench


def films(bench):
    return [round(bench.judge("rod film", f"cylinder {number}").estimate.value / MM, 9) for number in (1, 2, 3, 4)]


def test_rods_that_share_a_throw_share_its_journal(bench):
    bench = vee(bench, shared=True)
    assert films(bench) == [0.049, 0.048, 0.049, 0.048]  # throws 1, 2, 1, 2: +0.001 and +0.002
    assert bench.judge("rod film", "cylinder 3").found.governs.endswith("against rod journal 1, front across")


def test_rods_on_throws_of_their_own(bench):
    """Throws front to rear are those of cylinders 1, 3, 2, 4."""
    assert films(vee(bench, shared=False)) == [0.049, 0.047, 0.048, 0.046]


def test_a_rod_film_by_walls_needs_no_position(bench):
    bench.journal("rod journal", "throw 1", size=50.0)
    bench.read("C1", "big end", state=OUT, square=54.040, left=54.040, right=54.040)
    bench.read("CU1", "shell wall", mm=2.000).read("CL1", "shell wall", mm=1.995)
    assert bench.judge(*ROD).estimate.value == pytest.approx(0.045 * MM, rel=1e-9)  # 54.040 - 3.995 - 50.000


def test_a_cylinder_without_a_rod_is_open(bench):
    bench.furnish(1, rod="").journal("rod journal", "throw 1", size=50.0)
    assert bench.judge(*ROD).missing == ("no rod assigned",)


# ---- fits with a place of their own for each side ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("upper", "lower", "standing", "side", "value"),
    [
        (0.030, 0.035, Standing.CONFORMS, "", 0.030),
        (0.010, 0.040, Standing.NONCONFORMING, "low", 0.010),
        (0.030, 0.060, Standing.NONCONFORMING, "high", 0.060),
        (0.010, 0.070, Standing.NONCONFORMING, "high", 0.070),  # 0.020 too proud weighs more than 0.010 too shy
    ],
)
def test_crush_is_judged_by_the_shell_that_is_worse_off(bench, upper, lower, standing, side, value):
    bench.read("MU1", "shell crush", mm=upper).read("ML1", "shell crush", mm=lower).limit(
        "main shell crush", 0.020, 0.050
    )
    result = bench.judge("main shell crush", "main 1")
    assert (result.standing, result.side) == (standing, side)
    assert result.estimate.value == pytest.approx(value * MM, rel=1e-9)


@pytest.mark.parametrize(
    ("eye", "pin", "side", "value"),
    [
        ((21.970, 21.970), (22.000, 22.000, 22.000), "", 0.030),
        ((21.970, 21.950), (22.000, 22.000, 22.000), "high", 0.050),  # 22.000 - 21.950
        ((21.970, 21.985), (22.000, 22.000, 22.000), "low", 0.015),  # 22.000 - 21.985
        ((21.970, 21.970), (22.000, 22.000, 21.985), "low", 0.015),  # 21.985 - 21.970
    ],
)
def test_a_press_is_judged_where_it_grips_too_hard_or_too_little(bench, eye, pin, side, value):
    """Practice: 0.020 to 0.040 mm."""
    bench.engine["pin"] = PinHold.PRESSED
    bench.read("C1", "small end", along=eye[0], across=eye[1]).read(
        "W1", "pin", front=pin[0], middle=pin[1], rear=pin[2]
    )
    result = bench.judge("pin press", "cylinder 1")
    assert result.side == side
    assert result.estimate.value == pytest.approx(value * MM, rel=1e-9)


def test_floating_and_pressed_pins_have_fits_of_their_own(bench):
    def pins():
        return {result.fit.name for result in bench.assess().results if result.fit.group == "pins"}

    assert pins() == {"pin in piston", "pin in bush", "pin end play"}
    bench.engine["pin"] = PinHold.PRESSED
    assert pins() == {"pin in piston", "pin press"}
