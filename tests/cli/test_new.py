"""`blockwright new`: the folder it writes reads back, its plan is whole, and wrong answers are asked again."""

import csv
from collections.abc import Callable
from itertools import groupby
from pathlib import Path

import pytest

from blockwright.engine.features import FEATURES
from blockwright.engine.job import Job
from blockwright.engine.layout import Case, Layout, Turning
from blockwright.engine.parts import PartKind
from blockwright.fits.assessment import Standing
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.folder import read_folder
from blockwright.running.assess import assess

SIZES = ("86 mm", "86 mm", "143 mm", "55 mm", "48 mm", "21 mm")
USUAL = ("",) * 5
"""Power, its speed, highest speed, boost and full load as they stand if nothing is said."""


def typed(*answers: str) -> str:
    return "".join(f"{answer}\n" for answer in answers)


def answers(
    layout: str = "", cylinders: str = "", *, case: str = "", sizes: tuple[str, ...] = SIZES, last: tuple[str, ...] = ()
) -> str:
    """All that is asked, in its order; `last` is what a full job asks besides at the end."""
    bank_angle = ("",) if layout.lower() == "v" else ()
    return typed("Bench 7", layout, cylinders, *bank_angle, "", case, "", "", *sizes, *USUAL, *last)


def job_in(folder: Path) -> Job:
    return read_folder(folder).job


def test_questions_answered_with_enter_make_the_usual_engine(give: Callable, tmp_path: Path) -> None:
    done = give("new", tmp_path / "job", answers=answers())
    assert (done.code, done.err) == (0, "")
    engine = job_in(tmp_path / "job").engine
    assert (engine.name, engine.layout, engine.cylinders, engine.rotation) == (
        "Bench 7",
        Layout.INLINE,
        4,
        Turning.CLOCKWISE,
    )
    assert engine.bore_m == pytest.approx(0.086, rel=1e-12)
    assert engine.rod_length_m == pytest.approx(0.143, rel=1e-12)


OFTEN = (1, 2, 4, 6, 16)
"""The others are tried in the whole run."""
ENGINES = [
    pytest.param(layout, count, marks=() if count in OFTEN else pytest.mark.slow)
    for layout in ("inline", "V", "flat")
    for count in range(1, 17)
    if layout == "inline" or (count > 1 and not (layout == "flat" and count % 2))
]


@pytest.mark.parametrize(("layout", "count"), ENGINES)
def test_every_engine_reads_back_and_its_fits_are_shown(
    give: Callable, tmp_path: Path, layout: str, count: int
) -> None:
    assert give("new", tmp_path / "job", answers=answers(layout, str(count))).code == 0
    job = job_in(tmp_path / "job")
    assert (str(job.engine.layout), job.engine.cylinders) == (layout, count)
    pistons = [part.mark for part in job.sheet.part if part.kind is PartKind.PISTON]
    assert [held.piston for held in job.sheet.cylinder] == pistons
    assert len(pistons) == count
    assert len(job.sheet.main) == job.engine.main_count
    shown = give("fits", tmp_path / "job")
    assert (shown.code, shown.err) == (0, "")


@pytest.mark.parametrize(
    ("layout", "count"), [("inline", 1), ("inline", 4), ("V", 2), ("V", 5), ("V", 16), ("flat", 6)]
)
@pytest.mark.parametrize("case", list(Case))
def test_once_every_row_is_filled_no_usual_fit_is_open(
    give: Callable, filled: Callable, tmp_path: Path, layout: str, count: int, case: Case
) -> None:
    give("new", tmp_path / "job", answers=answers(layout, str(count), case=case))
    filled(tmp_path / "job")
    assessment = assess(job_in(tmp_path / "job"))
    assert not [result.missing for result in assessment.results if result.standing is Standing.OPEN]
    flags = {flag.code for flag in assessment.flags}
    assert flags <= {"no-temperature", "no-certificate", "no-repeatability", "gap-not-carried", "hot-wall"}
    assert give("fits", tmp_path / "job").code in (0, 1)


def test_a_full_plan_leaves_nothing_open_either(give: Callable, filled: Callable, tmp_path: Path) -> None:
    sizes = (*SIZES, "59 mm", "52 mm")
    assert give("new", tmp_path / "job", "--full", answers=answers(sizes=sizes, last=("80 bar",))).code == 0
    filled(tmp_path / "job")
    job = job_in(tmp_path / "job")
    results = assess(job).results
    open_still = {missing for result in results if result.standing is Standing.OPEN for missing in result.missing}
    assert open_still <= {"peak_pressure in [duty] of job.toml"}, "all but what no gauge reads"
    assert {result.fit.name for result in results} == {fit.name for fit in REGISTRY.values() if fit.applies(job.engine)}


def test_a_full_plan_without_the_housings_sizes_names_no_setting_for_them(give: Callable, tmp_path: Path) -> None:
    assert give("new", tmp_path / "job", "--full", answers=answers(sizes=(*SIZES, "", ""), last=("",))).code == 0
    rows = [reading for reading in job_in(tmp_path / "job").readings if reading.feature in ("big end", "main housing")]
    assert rows
    assert not any(reading.setting for reading in rows)


@pytest.mark.parametrize("flags", [(), ("--full",)])
@pytest.mark.parametrize(("layout", "cylinders"), [("inline", "4"), ("V", "8"), ("flat", "6")])
def test_gauge_and_setting_change_as_seldom_as_can_be(
    made: Callable, layout: str, cylinders: str, flags: tuple[str, ...]
) -> None:
    """Once for each gauge and setting on the parts, and once more for those that are wanted on the assembled engine."""
    readings = job_in(made("job", *flags, layout=layout, cylinders=cylinders)).readings
    taken = [(reading.part == "engine", reading.gauge, reading.setting) for reading in readings]
    changes = len(list(groupby(taken))) - 1
    assert changes == len(set(taken)) - 1
    assert taken == sorted(taken, key=lambda each: each[0]), "the assembled engine comes last"


def test_the_plan_names_gauges_that_take_the_sizes(made: Callable) -> None:
    """A 50 mm journal is ground a little under 50: the frame from 25 to 50 takes it. So for a piston in a bore of 100."""
    job = job_in(made("job", main_journal="50 mm", bore="100 mm"))
    for reading in job.readings:
        nominal = FEATURES[reading.feature].nominal(job.engine)
        if nominal is not None and not reading.setting:
            assert job.gauges[reading.gauge].takes(nominal - 0.1e-3), reading
    for setting in job.settings.values():
        assert job.gauges[setting.master].takes(setting.size_m)
        assert setting.gauge in job.gauges


def test_every_row_can_be_taken_only_once(made: Callable) -> None:
    readings = job_in(made("job", "--full", layout="V", cylinders="6")).readings
    spots = [(each.part, each.feature, each.at, each.spot, each.state) for each in readings]
    assert len(set(spots)) == len(spots)
    assert len({each.id for each in readings}) == len(readings)


@pytest.mark.parametrize(("good", "wrong", "said"), [
    ("inline", "in line", "Did you mean 'inline'?"),
    ("inline", "W", "is not possible here"),
    ("4", "four", "a whole number is wanted"),
    ("4", "17", "engines of 1 to 16"),
    ("4", "0", "engines of 1 to 16"),
    ("4", "²", "a whole number is wanted"),
    ("grey iron", "wood", "not in the materials list"),
    ("86 mm", "86", "no unit"),
    ("86 mm", "8.6 mm", "did you mean"),
    ("86 mm", "", ""),
    ("86 mm", "   ", ""),
    ("100 kW", "lots", ""),
])  # fmt: skip
def test_a_wrong_answer_is_asked_again(give: Callable, tmp_path: Path, good: str, wrong: str, said: str) -> None:
    told = ["Bench 7", "inline", "4", "clockwise", "", "grey iron", "", *SIZES, "100 kW", *USUAL[1:]]
    at = told.index(good)
    done = give("new", tmp_path / "job", answers=typed(*told[:at], wrong, *told[at:]))
    assert (done.code, done.err) == (0, "")
    assert said.lower() in " ".join(done.out.split()).lower()
    assert job_in(tmp_path / "job").engine.cylinders == 4


def test_answers_that_contradict_each_other_are_asked_again(give: Callable, tmp_path: Path) -> None:
    """A throw of 60 mm wants a longer rod than 55 mm; a V has a cylinder in each bank."""
    sizes = ("86 mm", "120 mm", "55 mm", *SIZES[3:])
    done = give("new", tmp_path / "long", answers=answers("V", "1", sizes=sizes) + typed("2", "150 mm"))
    assert (done.code, done.err) == (0, "")
    engine = job_in(tmp_path / "long").engine
    assert (engine.cylinders, engine.rod_length_m) == (2, pytest.approx(0.150, rel=1e-12))
    assert "no longer than the crank's throw" in " ".join(done.out.split())


def test_answers_that_end_early_make_nothing(give: Callable, tmp_path: Path) -> None:
    done = give("new", tmp_path / "job", answers=typed("Bench 7", "inline"))
    assert done.code == 2
    assert "the answers ended before 'How many cylinders'" in " ".join(done.err.split())
    assert not (tmp_path / "job").exists()


def test_what_is_given_is_not_asked(give: Callable, tmp_path: Path) -> None:
    done = give("new", tmp_path / "job", "--bore", "92 mm", "--layout", "flat", "--cylinders", "6",
                answers=typed("Bench 7", "", "", "", "", *SIZES[1:], *USUAL))  # fmt: skip
    assert (done.code, done.err) == (0, "")
    engine = job_in(tmp_path / "job").engine
    assert (str(engine.layout), engine.cylinders, round(engine.bore_m, 6)) == ("flat", 6, 0.092)


def test_a_wrong_option_is_told_before_anything_is_asked(give: Callable, tmp_path: Path) -> None:
    done = give("new", tmp_path / "job", "--bore", "86", answers=answers())
    assert done.code == 2
    assert "--bore: " in done.err
    assert "What do you call" not in done.out
    assert not (tmp_path / "job").exists()


def test_without_asking_everything_wrong_and_missing_is_listed(give: Callable, tmp_path: Path) -> None:
    done = give("new", tmp_path / "job", "--no-ask", "--layout", "W", "--cylinders", "99", "--units", "furlong", "--case", "box",
                "--housing-material", "wood", "--bore", "86", "--stroke", "86 mm")  # fmt: skip
    assert done.code == 2
    for wrong in ("layout", "cylinders", "units", "case", "housing-material", "bore"):
        assert f"  --{wrong}: " in done.err, wrong
    for missing in ("name", "rod-length", "main-journal", "rod-journal", "pin-diameter"):
        assert f"Add --{missing} " in " ".join(done.err.split()), missing
    assert done.err.startswith("11 things must be mended first:")
    assert not (tmp_path / "job").exists()


def test_without_asking_a_contradiction_names_the_option(give: Callable, tmp_path: Path, made: Callable) -> None:
    with pytest.raises(AssertionError, match="Change --rod-length"):
        made("job", stroke="120 mm", rod_length="55 mm")
    assert not (tmp_path / "job").exists()


def test_a_folder_that_holds_something_is_left_alone(give: Callable, tmp_path: Path) -> None:
    (tmp_path / "job").mkdir()
    (tmp_path / "job" / "note.txt").write_text("mine")
    done = give("new", tmp_path / "job", answers=answers())
    assert done.code == 2
    assert "nothing was changed" in done.err
    assert [path.name for path in (tmp_path / "job").iterdir()] == ["note.txt"]
    assert (tmp_path / "job" / "note.txt").read_text() == "mine"


def test_a_file_in_the_way_is_left_alone(give: Callable, tmp_path: Path) -> None:
    (tmp_path / "job").write_text("mine")
    assert give("new", tmp_path / "job", answers=answers()).code == 2
    done = give("new", tmp_path / "job" / "within", answers=answers())
    assert done.code == 2
    assert "cannot be written" in done.err
    assert (tmp_path / "job").read_text() == "mine"


def test_an_empty_folder_will_do(give: Callable, tmp_path: Path) -> None:
    (tmp_path / "job").mkdir()
    assert give("new", tmp_path / "job", answers=answers()).code == 0


def test_a_strange_name_comes_back_as_it_was_typed(made: Callable) -> None:
    name = 'Bench "7" \\ Ärmel = [x]'
    assert job_in(made("job", name=name)).engine.name == name


def test_the_table_is_one_that_a_spreadsheet_reads(made: Callable) -> None:
    with (made() / "readings.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert {row["value"] for row in rows} == {""}
    assert all(None not in row for row in rows)


def test_a_shop_of_inches_gets_inch_gauges_and_rows(made: Callable) -> None:
    """A 2.4 in journal wants the frame from 2 to 3 in, with .0001 in of step; comparators are read in tenths, blades in thou."""
    sizes = {"bore": "3.4375 in", "stroke": "3.5 in", "rod_length": "6 in", "main_journal": "2.4 in", "rod_journal": "2 in",
             "pin_diameter": ".927 in"}  # fmt: skip
    folder = made("job", units="inch", **sizes)
    job = job_in(folder)
    m2 = job.gauges["M2"]
    assert (m2.name, m2.resolution_si, m2.low_si, m2.high_si) == (
        "outside micrometer 2 to 3 in", pytest.approx(2.54e-6, rel=1e-12), pytest.approx(0.0508, rel=1e-12), pytest.approx(0.0762, rel=1e-12),
    )  # fmt: skip
    units = {each.feature: each.unit for each in job.readings}
    assert (units["main journal"], units["bore"], units["top gap"]) == ("in", "tenths", "thou")
    assert 'resolution = "0.0001 in"' in (folder / "gauges.toml").read_text()
    assert 'size = "3.4375 in"' in (folder / "gauges.toml").read_text()
    assert "mm" not in {each.unit for each in job.readings}


def test_the_examples_are_remarks_and_outlive_a_change(give: Callable, made: Callable, filled: Callable) -> None:
    folder = made("job")
    filled(folder)
    examples = {name: (folder / name).read_text().partition("\n# ")[2] for name in ("job.toml", "gauges.toml")}
    assert "[[limit]]" in examples["job.toml"]
    assert "certificate = " in examples["gauges.toml"]
    assert "due = " in examples["gauges.toml"]
    given = give("accept", folder, "main film", "1", "--by", "Ann", "--why", "a test")
    assert given.code == 0, given.err
    for name, example in examples.items():
        assert example in (folder / name).read_text()


def test_the_examples_read_when_the_marks_are_taken_off(made: Callable) -> None:
    folder = made("job")
    path = folder / "job.toml"
    head, mark, example = path.read_text().partition("# [[limit]]")
    path.write_text(head + (mark + example).replace("# ", ""))
    assert [rule.fit for rule in job_in(folder).sheet.limit] == ["wall clearance"]


@pytest.mark.parametrize("leave", ["q", "Q", "quit"])
def test_a_q_leaves_and_makes_nothing(give: Callable, tmp_path: Path, leave: str) -> None:
    done = give("new", tmp_path / "job", answers=typed("Bench 7", "inline", leave))
    assert (done.code, done.err) == (2, "")
    assert "nothing was made" in done.out
    assert not (tmp_path / "job").exists()


def test_only_units_that_fit_are_offered(give: Callable, tmp_path: Path) -> None:
    done = give("new", tmp_path / "job", answers=answers(sizes=("90", *SIZES)))
    assert done.code == 0
    assert "90 has no unit. Write 90 mm." in " ".join(done.out.split())
    assert "90 in" not in done.out


def test_an_empty_answer_that_is_needed_is_told(give: Callable, tmp_path: Path) -> None:
    done = give("new", tmp_path / "job", answers=answers(sizes=("", *SIZES)))
    assert done.code == 0
    assert "An answer is needed here." in done.out


@pytest.mark.parametrize("count", ["3", "5"])
def test_a_flat_engine_of_an_odd_number_is_asked_again(give: Callable, tmp_path: Path, count: str) -> None:
    done = give("new", tmp_path / "job", answers=answers("flat", count) + typed("4"))
    assert (done.code, done.err) == (0, "")
    assert job_in(tmp_path / "job").engine.cylinders == 4
