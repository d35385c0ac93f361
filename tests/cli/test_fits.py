"""`blockwright fits`: what is shown is what was judged; JSON; choosing; exit codes."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from blockwright.choices.next_steps import next_steps
from blockwright.cli.fits import SHOWN_IN
from blockwright.fits.assessment import Assessment, FitResult, Standing
from blockwright.jobfile.folder import read_folder
from blockwright.running.assess import assess


def judged(folder: Path) -> Assessment:
    return assess(read_folder(folder).job)


def by_name(results: list[dict]) -> dict[tuple[str, str], dict]:
    return {(each["fit"], each["at"]): each for each in results}


def key(result: FitResult) -> tuple[str, str]:
    return result.fit.name, str(result.position)


def test_the_demonstrations_show_what_they_were_invented_for(harbour: Path, hillclimb: Path) -> None:
    """The other tests lean on these: something of every standing in the first, one soft thing out in the second."""
    first, second = judged(harbour), judged(hillclimb)
    assert {result.standing for result in first.results} == set(Standing)
    assert any(result.record for result in first.results)
    assert [(result.fit.name, result.hard) for result in second.out] == [("crank end float", False)]
    assert not second.unsettled


def test_every_fit_is_shown_with_how_it_stands(give: Callable, harbour: Path) -> None:
    assessment = judged(harbour)
    out = give("fits", harbour, "--all").out
    blocks = out.partition("WORK ORDERED")[0].split("\n")
    names = {line.split("  ")[0] for line in blocks}
    assert {result.fit.name for result in assessment.results} <= names
    assert sum("nonconforming" in line or "outside common practice" in line for line in blocks) == len(assessment.out)
    assert sum(line.rstrip().endswith("under concession") for line in blocks) == 1
    assert sum("undecided" in line for line in blocks) == assessment.count(Standing.UNDECIDED)
    assert sum("open: " in line for line in blocks) == assessment.count(Standing.OPEN)


def test_a_fit_that_is_well_takes_one_line_unless_all_are_asked_for(give: Callable, hillclimb: Path) -> None:
    short, long = give("fits", hillclimb).out.splitlines(), give("fits", hillclimb, "--all").out.splitlines()
    assert sum(line.startswith("wall clearance") for line in short) == 1
    assert len(long) > len(judged(hillclimb).results) > len(short)


def test_json_holds_the_numbers_of_the_assessment(give: Callable, harbour: Path) -> None:
    assessment = judged(harbour)
    found = json.loads(give("fits", harbour, "--json").out)
    told = by_name(found["fits"])
    assert list(told) == [key(result) for result in assessment.results]
    for result in assessment.results:
        one = told[key(result)]
        assert one["standing"] == str(result.standing)
        assert one["value"] == (result.estimate.value if result.found else None)
        assert one["standard_uncertainty"] == (result.estimate.u if result.found else None)
        assert (one["low"] or {}).get("value") == result.limits.low_value
        assert (one["high"] or {}).get("value") == result.limits.high_value
        assert (one["signed"] is None) == (result.record is None)
    assert [step["what"] for step in found["next"]] == [step.what for step in next_steps(assessment)]
    assert found["invented"] is True


def test_json_is_the_same_whatever_is_chosen(give: Callable, harbour: Path) -> None:
    assert give("fits", harbour, "--json", "--unit", "thou").out == give("fits", harbour, "--json").out


@pytest.mark.parametrize(("chosen", "belongs"), [
    ("out", lambda result: result.out),
    ("undecided", lambda result: result.standing is Standing.UNDECIDED),
    ("open", lambda result: result.standing is Standing.OPEN),
    ("main film", lambda result: result.fit.name == "main film"),
])  # fmt: skip
def test_only_shows_only_those(
    give: Callable, harbour: Path, chosen: str, belongs: Callable[[FitResult], bool]
) -> None:
    wanted = [result for result in judged(harbour).results if belongs(result)]
    table = give("fits", harbour, "--only", chosen).out.partition("WHAT TO DO NEXT")[0]
    rows = [line for line in table.splitlines() if line.startswith("  ")]
    assert [row[2:14].strip() for row in rows] == [str(result.position) for result in wanted]
    heads = [line for line in table.partition("\n\n")[2].splitlines() if line[:1].islower()]
    assert [head.split("  ")[0] for head in heads] == list(dict.fromkeys(result.fit.name for result in wanted))


def test_only_says_so_where_nothing_is_left_to_do(give: Callable, hillclimb: Path) -> None:
    assert "Nothing is left to do for these fits." in give("fits", hillclimb, "--only", "wall clearance").out


@pytest.mark.parametrize("unit", SHOWN_IN)
def test_lengths_are_shown_in_any_unit_and_nothing_else_changes(give: Callable, harbour: Path, unit: str) -> None:
    plain, other = give("fits", harbour, "--all"), give("fits", harbour, "--all", "--unit", unit)
    assert other.code == plain.code
    assert [line[35:] for line in rows_of(other.out)] == [line[35:] for line in rows_of(plain.out)]
    assert f" {unit}" in next(line for line in other.out.splitlines() if line.startswith("wall clearance"))


def rows_of(out: str) -> list[str]:
    return [line for line in out.splitlines() if line.startswith(("  cylinder", "  main", "  throw", "  engine"))]


def test_the_shops_own_unit_is_used_where_none_is_asked_for(give: Callable, harbour: Path) -> None:
    job = harbour / "job.toml"
    job.write_text(job.read_text().replace('units = "metric"', 'units = "inch"'))
    line = next(line for line in give("fits", harbour).out.splitlines() if line.startswith("wall clearance"))
    assert " thou, aim " in line


def test_exit_code_1_for_what_is_out_and_0_once_it_is_accepted(give: Callable, hillclimb: Path) -> None:
    assert give("fits", hillclimb).code == 1
    assert give("fits", hillclimb, "--json").code == 1
    assert give("accept", hillclimb, "crank end float", "--by", "Ann", "--why", "short life").code == 0
    assert give("fits", hillclimb).code == 0
    assert give("fits", hillclimb, "--strict").code == 0


def test_open_fits_count_only_if_strict(give: Callable, hillclimb: Path) -> None:
    give("accept", hillclimb, "crank end float", "--by", "Ann", "--why", "short life")
    readings = hillclimb / "readings.csv"
    rows = readings.read_text().splitlines(keepends=True)
    readings.write_text("".join(row for row in rows if ",skirt," not in row))
    assert give("fits", hillclimb).code == 0
    assert give("fits", hillclimb, "--strict").code == 1


def test_an_undecided_fit_counts_only_if_strict_and_unsigned(give: Callable, hillclimb: Path) -> None:
    give("accept", hillclimb, "crank end float", "--by", "Ann", "--why", "short life")
    job = hillclimb / "job.toml"
    job.write_text(
        job.read_text()
        + '\n[[limit]]\nfit = "crank end float"\nauthority = "builder"\nby = "Ann"\nwhy = "tried"\nhigh = "0.266 mm"\n'
    )
    assert [key(result) for result in judged(hillclimb).unsettled] == [("crank end float", "engine")]
    assert give("fits", hillclimb).code == 0
    assert give("fits", hillclimb, "--strict").code == 1
    assert give("accept", hillclimb, "crank end float", "--by", "Ann", "--why", "near enough").code == 0
    assert give("fits", hillclimb, "--strict").code == 0


def test_a_job_without_readings_says_what_to_read(give: Callable, made: Callable) -> None:
    folder = made()
    done = give("fits", folder)
    assert done.code == 0
    assert "0 readings" in done.out
    assert "Still to read:" in done.out
    assert give("fits", folder, "--strict").code == 1
    assert all(fit["standing"] == "open" for fit in json.loads(give("fits", folder, "--json").out)["fits"])


def test_what_is_invented_says_so(give: Callable, harbour: Path, made: Callable) -> None:
    assert give("fits", harbour).out.splitlines()[0].endswith("(INVENTED)")
    assert "INVENTED" not in give("fits", made()).out


def test_nothing_out_does_not_mean_nothing_to_do(give: Callable, made: Callable) -> None:
    """A job that is not read has nothing out; what is open is counted."""
    folder = made("job")
    shown = give("fits", folder, "--only", "out")
    open_fits = sum(each["standing"] == "open" for each in json.loads(give("fits", folder, "--json").out)["fits"])
    assert open_fits > 50
    assert f"None is out. {open_fits} are still open." in shown.out
    assert "Nothing is left" not in shown.out


def test_what_is_noticed_of_many_is_told_once(give: Callable, made: Callable, filled: Callable) -> None:
    """A job without temperatures and certificates: a paragraph a kind, each with all that it is about."""
    folder = made("job")
    filled(folder)
    shown = give("fits", folder).out
    noticed = " ".join(shown.partition("NOTICED")[2].partition("WHAT TO DO NEXT")[0].split())
    assert noticed.count("o temperature was written down") == 1
    assert "for B1, K1, C1 to C4, P1 to P4, W1 to W4 and R1 to R4: 20 °C give or take 5 °C is assumed" in noticed
    assert noticed.count("no certificate in gauges.toml: one step") == 1
    single = [each["code"] for each in json.loads(give("fits", folder, "--json").out)["noticed"]]
    assert single.count("no-temperature") == 18, "machines get each with its readings"


def test_a_verdict_is_said_in_the_same_words_on_one_line_and_in_full(give: Callable, harbour: Path) -> None:
    told: dict[str, set[str]] = {}
    for each in json.loads(give("fits", harbour, "--json").out)["fits"]:
        told.setdefault(each["fit"], set()).add(each["words"])
    shown = give("fits", harbour).out.splitlines()
    collapsed = 0
    for fit, words in told.items():
        line = next((line for line in shown if line.startswith(f"{fit} ") and " read " in line), "")
        if line and len(words) == 1:
            [word] = words
            collapsed += 1
            assert (word in line) or (word == "conforms" and " conform (" in line), line
    assert collapsed > 10
