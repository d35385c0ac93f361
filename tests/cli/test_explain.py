"""`blockwright explain`: every number of a fit's story is the assessment's, and nothing that decides is left out."""

import io
import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from rich.cells import cell_len
from rich.console import Console

from blockwright.cli.explain import print_story
from blockwright.fits.assessment import FitResult, Standing
from blockwright.jobfile.folder import read_folder
from blockwright.report.story import story_of
from blockwright.running.assess import assess


def judged(folder: Path) -> tuple[FitResult, ...]:
    return assess(read_folder(folder).job).results


def one(folder: Path, fit: str, at: str) -> FitResult:
    [found] = [result for result in judged(folder) if (result.fit.name, str(result.position)) == (fit, at)]
    return found


def flat(out: str) -> str:
    return " ".join(out.split())


def test_the_story_of_an_undecided_fit(give: Callable, harbour: Path) -> None:
    result = one(harbour, "wall clearance", "cylinder 4")
    done = give("explain", harbour, "wall clearance", "cylinder 4")
    assert done.code == 0
    assert result.standing is Standing.UNDECIDED
    assert result.chances is not None
    said = flat(done.out)
    assert said.startswith("Wall clearance, cylinder 4")
    below = f"{100 * result.chances.below:.3g} % under"
    for part in (result.fit.formula, result.fit.when_low, "to settle", "Where the uncertainty comes from", below):
        assert part in said, part
    for _, size in result.found.sizes if result.found else ():
        for reading in size.readings:
            assert f"{reading.id}: {reading.text}" in said
    for offer in result.limits.offers:
        assert offer.source in said


def test_what_decides_is_marked_among_the_limits(give: Callable, harbour: Path) -> None:
    result = one(harbour, "wall clearance", "cylinder 4")
    lines = give("explain", harbour, "wall clearance", "4").out.splitlines()
    marked = [line for line in lines if line.startswith("  > ")]
    deciding = {str(bound.authority) for bound in (result.limits.low, result.limits.high) if bound}
    assert {line.removeprefix("  > ").partition(":")[0] for line in marked} == deciding


def test_an_open_fit_says_what_to_read(give: Callable, harbour: Path) -> None:
    result = one(harbour, "wall clearance", "cylinder 1")
    done = give("explain", harbour, "wall clearance", "1")
    assert done.code == 0
    assert result.missing
    for missing in result.missing:
        assert f"still to read: {missing}" in flat(done.out)


def test_a_concession_is_told_with_name_and_reason(give: Callable, harbour: Path) -> None:
    result = one(harbour, "rod side", "throw 3")
    assert result.record is not None
    done = give("explain", harbour, "rod side", "3")
    assert done.code == 0, "what is under concession is not out"
    assert f"concession by {result.record.by}" in flat(done.out)
    assert result.record.why in flat(done.out)


def test_what_is_out_exits_1_and_says_what_would_mend_it(give: Callable, harbour: Path) -> None:
    result = one(harbour, "wall clearance", "cylinder 3")
    done = give("explain", harbour, "wall clearance", "3")
    assert (done.code, result.out) == (1, True)
    assert f"remedy {result.remedy}" in flat(done.out)


@pytest.mark.parametrize("typed", ["cylinder 4", "4", "Cylinder  4", "CYLINDER 4"])
def test_a_position_may_be_said_shortly(give: Callable, harbour: Path, typed: str) -> None:
    assert give("explain", harbour, "Wall Clearance", typed).out.startswith("Wall clearance, cylinder 4")


def test_a_fit_with_one_place_needs_no_position(give: Callable, harbour: Path) -> None:
    assert give("explain", harbour, "crank end float").out.startswith("Crank end float")


def test_json_of_every_fit_holds_the_assessments_numbers(give: Callable, harbour: Path) -> None:
    """One of each standing and kind."""
    chosen = {(result.standing, result.fit.kind, bool(result.record)): result for result in judged(harbour)}
    assert len(chosen) > 5
    for result in chosen.values():
        done = give("explain", harbour, result.fit.name, result.position, "--json")
        told = json.loads(done.out)
        assert done.code == int(result.out)
        assert (told["fit"], told["at"], told["standing"]) == (
            result.fit.name,
            str(result.position),
            str(result.standing),
        )
        assert told["missing"] == list(result.missing)
        if result.found:
            assert told["value"] == result.estimate.value
            assert sum(line["u"] ** 2 for line in told["budget"]) == pytest.approx(
                told["standard_uncertainty"] ** 2, rel=1e-9
            )
            assert len(told["sources"]) == len(result.limits.offers)


def test_a_unit_changes_what_is_shown_and_not_what_is_meant(give: Callable, harbour: Path) -> None:
    """25.4 um to a thou."""
    result = one(harbour, "main film", "main 3")
    line = give("explain", harbour, "main film", "3", "--unit", "thou").out.splitlines()[2]
    value = float(line.split(" ±")[0])
    assert value == pytest.approx(result.estimate.value / 25.4e-6, abs=0.006)
    assert " thou " in line


SCREEN_LINES, SCREEN_WIDE = 50, 80


@pytest.mark.parametrize("name", ["harbour", "hillclimb"])
def test_every_story_fits_on_one_screen(request: pytest.FixtureRequest, name: str) -> None:
    job = read_folder(request.getfixturevalue(name)).job
    results = assess(job).results
    assert len(results) > 100
    for result in results:
        out = Console(highlight=False, markup=False, width=SCREEN_WIDE, file=io.StringIO())
        print_story(out, result, story_of(job, result))
        assert isinstance(out.file, io.StringIO)
        lines = out.file.getvalue().splitlines()
        assert len(lines) <= SCREEN_LINES, (result.fit.name, str(result.position))
        assert max(cell_len(line) for line in lines) <= SCREEN_WIDE, (result.fit.name, str(result.position))


def test_what_weighs_little_is_summed_up_and_nothing_is_lost(give: Callable, harbour: Path) -> None:
    """Shares of the lines and of the rest make up the whole; a line stands for each cause that weighs a hundredth or more."""
    result = one(harbour, "top end gap", "cylinder 2")
    weights = [(share.u / result.estimate.u) ** 2 for _, share in result.estimate.budget]
    large = [weight for weight in weights if weight >= 0.01]
    lines = (
        give("explain", harbour, "top end gap", "2")
        .out.partition("Where the uncertainty comes from")[2]
        .partition("\n\n")[0]
        .splitlines()[1:]
    )
    *shown, rest = [line for line in lines if line.strip()]
    assert [f"{weight:.0%}" for weight in large] == [re.findall(r"\d+%", line)[0] for line in shown]
    assert rest.split() == f"the rest: {len(weights) - len(large)} more, {100 * (1 - sum(large)):.1f} % in all".split()


def test_repeats_of_one_spot_stand_together(give: Callable, harbour: Path) -> None:
    said = flat(give("explain", harbour, "wall clearance", "4").out)
    skirt = one(harbour, "wall clearance", "cylinder 4").found.sizes[1][1]
    first, second = skirt.readings
    assert f"{first.id}: {first.text} mm; {second.id}: {second.text} mm (M1, 21 °C, bare)" in said


@pytest.mark.parametrize(
    ("typed", "meant"), [("wall", "wall clearance"), ("wal clearance", "wall clearance"), ("top gap", "top end gap")]
)
def test_a_part_of_a_name_finds_the_fit(give: Callable, harbour: Path, typed: str, meant: str) -> None:
    done = give("explain", harbour, typed, "1")
    assert done.code == 2
    assert f"Did you mean '{meant}'?" in " ".join(done.err.split())
