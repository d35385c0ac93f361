"""`blockwright sweep`: how ranges are read and refused, the table in 80 columns, the study in a folder, and how it ends when broken off."""

import itertools
import math
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from blockwright.cli.sweep_ranges import Item, items, ranges_of
from blockwright.problems import BlockwrightError
from blockwright.running.sweep import study
from blockwright.running.sweep.cases import AS_MEASURED, Change, Ranges, cases
from blockwright.running.sweep.rows import Caution, Row
from blockwright.running.sweep.study import Swept

RPM = 2.0 * math.pi / 60.0


def row_of(number: int) -> Row:
    """An invented row."""
    return Row(
        peak_pa=1e7 + 1e5 * number, breathing=0.9, crown_c=220.0 + number, skirt_c=130.0, liner_top_c=160.0, bore_c=120.0,
        wall_hot_m=2e-5, wall_at="cylinder 1", top_gap_hot_m=3e-4 + 1e-6 * number, top_gap_at="cylinder 2", second_gap_hot_m=4e-4,
        second_gap_at="cylinder 2", rod_film_m=1.5e-6 + 1e-8 * number, rod_at="cylinder 4", rod_c=120.0, rod_loss_w=1200.0 + number,
        main_film_m=2.5e-6, main_at="main 3", main_c=118.0, main_loss_w=2000.0, blow_by_share=0.004 + 1e-5 * number, blow_by_l_min=7.0,
        rod_bolts_n=13000.0, caution=str(Caution.RANKS),
    )  # fmt: skip


class Stand:
    """Stands in for the calculation; remembers how it was asked."""

    def __init__(self) -> None:
        self.asked: list[dict[str, Any]] = []
        self.made: Callable[[int], Row] = row_of
        self.fault: BaseException | None = None

    def sweep(self, job: Any, ranges: Ranges, **words: Any) -> Swept:
        self.asked.append({"ranges": ranges, **words})
        if self.fault is not None:
            raise self.fault
        pairs = tuple((case, self.made(number)) for number, case in enumerate(cases(job, ranges)))
        return Swept(pairs, words["into"] and words["into"] / "rows.parquet", 0)


@pytest.fixture
def stand(monkeypatch: pytest.MonkeyPatch) -> Stand:
    made = Stand()
    monkeypatch.setattr(study, "sweep", made.sweep)
    return made


def flat(out: str) -> str:
    return " ".join(out.split())


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("3000 rpm", [Item("3000 rpm")]),
        ("3000, 4000 rpm", [Item("3000 rpm"), Item("4000 rpm")]),
        ("3000..7000 rpm / 9", [Item("3000 rpm", "7000 rpm", 9)]),
        ("3000 rpm..7000 rpm/9", [Item("3000 rpm", "7000 rpm", 9)]),
        ("1, 2..4 bar / 3, 30 psi", [Item("1 bar"), Item("2 bar", "4 bar", 3), Item("30 psi")]),
        ("+0.1mm,+0.2mm", [Item("+0.1mm"), Item("+0.2mm")]),
        ("measured, +4, +8 thou", [Item("measured"), Item("+4 thou"), Item("+8 thou")]),
        ("1/64..1/32 in / 3", [Item("1/64 in", "1/32 in", 3)]),
        (".5...9 mm / 2", [Item(".5 mm", ".9 mm", 2)]),
    ],
)
def test_ranges_are_read(text: str, wanted: list[Item]) -> None:
    assert items(text) == wanted


def test_values_by_hand() -> None:
    found = ranges_of({
        "speed": "3000..7000 rpm / 5", "power": "100 kW", "boost": "0, 14.5 psi", "oil": "5W-30, 10W-40", "coolant": "194 °F",
        "oil-temperature": "90..110 °C / 3", "rod-film": "30..80 um / 6", "second-gap": "measured, -0.1 mm, +0..+0.2 mm / 3", "wall": "2 thou",
    })  # fmt: skip
    assert found.speed_rad_s == pytest.approx([n * RPM for n in (3000, 4000, 5000, 6000, 7000)], rel=1e-12)
    assert found.power_w == (100e3,)
    assert found.boost_pa == pytest.approx((0.0, 14.5 * 6894.757293168), rel=1e-9)
    assert found.oil == ("5W-30", "10W-40")
    assert found.coolant_c == pytest.approx((90.0,), rel=1e-12)
    assert found.oil_c == pytest.approx((90.0, 100.0, 110.0), rel=1e-12)
    assert [change.metres for change in found.rod_film] == pytest.approx([n * 1e-5 for n in range(3, 9)], rel=1e-12)
    assert not any(change.step for change in found.rod_film)
    measured, less, *more = found.second_gap
    assert measured == AS_MEASURED
    assert less == Change(-1e-4)
    assert [change.metres for change in more] == pytest.approx([1e-4, 2e-4], rel=1e-12), (
        "a step of nothing is as measured, once"
    )
    assert found.wall == (Change(50.8e-6, False),)
    assert found.top_gap == found.main_film == ()


@given(low=st.integers(500, 5000), more=st.integers(1, 9000), count=st.integers(2, 60))
def test_a_row_is_even_and_holds_its_ends(low: int, more: int, count: int) -> None:
    found = ranges_of({"speed": f"{low}..{low + more} rpm / {count}"}).speed_rad_s
    assert len(found) == count
    assert found[0] == ranges_of({"speed": f"{low} rpm"}).speed_rad_s[0]
    assert found[-1] == ranges_of({"speed": f"{low + more} rpm"}).speed_rad_s[0]
    steps = [b - a for a, b in itertools.pairwise(found)]
    assert steps == pytest.approx([more * RPM / (count - 1)] * (count - 1), rel=1e-6)


@pytest.mark.parametrize(
    ("option", "text", "said"),
    [
        ("--speed", "3000", "says 3000 and no unit"),
        ("--speed", "3000..7000 rpm", "does not say how many values"),
        ("--speed", "3000..7000 rpm / 1", "does not say how many values"),
        ("--speed", "3000..7000 rpm / 9999", "does not say how many values"),
        ("--speed", "..7000 rpm / 3", "lacks an end"),
        ("--speed", "3000..7000 mm / 3", "mm"),
        ("--speed", "3000 rpm,,4000 rpm", "lacks a value"),
        ("--speed", "3,000 rpm", "a comma between two digits"),
        ("--speed", "90000 rpm", "goes beyond 500 rpm to 20000 rpm"),
        ("--boost", "-1 bar", "goes beyond 0 bar to 5 bar"),
        ("--oil", "5W-30, soup", "'soup' is no oil grade"),
        ("--rod-film", "0,05 mm", "a comma between two digits"),
        ("--rod-film", "+10..80 um / 3", "half a step and half a size"),
        ("--rod-film", "thin", "does not begin with a number"),
        ("--second-gap", "measured..+1 mm / 3", "does not begin with a number"),
        ("--best", "prettiest", "nothing that a best case is looked for by"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_mend(
    give: Callable, harbour: Path, stand: Stand, option: str, text: str, said: str
) -> None:
    more = () if option == "--speed" else ("--speed", "3000 rpm")
    done = give("sweep", harbour, option, text, *more)
    assert done.code == 2
    assert said in flat(done.err)
    assert stand.asked == []
    assert done.out == ""


def test_every_fault_is_told_at_once() -> None:
    with pytest.raises(BlockwrightError) as found:
        ranges_of({"speed": "3000", "oil": "soup", "wall": "1..2 um"})
    assert [problem.place.field for problem in found.value.problems] == ["speed", "oil", "wall"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "no range is given"),
        (("--speed", "3000..7000 rpm / 60", "--rod-film", "30..80 um / 60"), "3600 cases: that is a study"),
        (("--speed", "3000 rpm", "--processes", "0"), "0 processes cannot be had"),
        (("--speed", "3000 rpm", "--processes", "2", "--scheduler", "tcp://x:1"), "two ways of one thing"),
    ],
)
def test_what_cannot_be_done_is_refused(
    give: Callable, harbour: Path, stand: Stand, words: tuple[str, ...], said: str
) -> None:
    done = give("sweep", harbour, *words)
    assert (done.code, stand.asked) == (2, [])
    assert said in flat(done.err)


@pytest.mark.parametrize("unit", ["", "um", "thou", "in", "uin"])
@pytest.mark.parametrize("terminal", ["xterm", "dumb"])
@pytest.mark.parametrize(
    "words",
    [
        ("--speed", "2400..4000 rpm / 5"),
        ("--speed", "2400..4000 rpm / 4", "--oil", "5W-30, 10W-40", "--rod-film", "30..80 um / 3"),
        (
            "--second-gap",
            "measured, +0.1 mm",
            "--top-gap",
            "0.3..0.5 mm / 3",
            "--boost",
            "0, 1 bar",
            "--coolant",
            "80, 90 °C",
        ),
        ("--speed", "2400..4000 rpm / 50", "--blow-by"),
        ("--oil", "5W-30"),
    ],
)
def test_it_keeps_to_80_columns(
    give: Callable,
    harbour: Path,
    stand: Stand,
    words: tuple[str, ...],
    terminal: str,
    unit: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("TERM", terminal)
    monkeypatch.setenv("COLUMNS", "80")
    done = give("sweep", harbour, *words, *(("--unit", unit) if unit else ()))
    assert done.code == 0, done.err
    lines = done.out.splitlines()
    assert [line for line in lines if cell_len(line) > 80] == []
    assert sum(line.startswith("* ") for line in lines) == 2, "the best row, and what it is the best by"
    assert "INVENTED" in done.out
    if terminal == "dumb":
        assert done.out.isascii()


def table_of(out: str) -> list[str]:
    """The rows of the table."""
    return [line for line in out.split("\nMIND")[0].splitlines() if line.endswith(" a")]


def test_one_line_a_case_and_the_best_marked(give: Callable, harbour: Path, stand: Stand) -> None:
    rows = table_of(give("sweep", harbour, "--speed", "2400..4000 rpm / 5").out)
    assert len(rows) == 5
    assert [row.startswith("*") for row in rows] == [False] * 4 + [True], "films were made thicker row by row"
    assert [row.split()[row.startswith("*")] for row in rows] == ["2400", "2800", "3200", "3600", "4000"]


def test_the_aim_can_be_stated(give: Callable, harbour: Path, stand: Stand) -> None:
    done = give("sweep", harbour, "--speed", "2400..4000 rpm / 5", "--best", "least blow-by")
    assert table_of(done.out)[0].startswith("*")
    assert stand.asked[0]["rings"] is True
    assert "* least blow-by: 2400 rpm" in flat(done.out)


@pytest.mark.parametrize(
    ("words", "rings"),
    [(("--speed", "3000 rpm"), False), (("--speed", "3000 rpm", "--blow-by"), True), (("--top-gap", "0.4 mm"), True)],
)
def test_blow_by_is_worked_out_where_it_is_asked_for(
    give: Callable, harbour: Path, stand: Stand, words: tuple[str, ...], rings: bool
) -> None:
    assert give("sweep", harbour, *words).code == 0
    assert stand.asked[0]["rings"] is rings


def test_many_cases_show_the_best_forty(give: Callable, harbour: Path, stand: Stand) -> None:
    done = give("sweep", harbour, "--speed", "2400..4000 rpm / 100")
    rows = table_of(done.out)
    assert len(rows) == 40
    assert rows[-1].startswith("*")
    assert "The best 40 of 100 cases" in flat(done.out)


def test_no_case_that_will_do_has_no_best(give: Callable, harbour: Path, stand: Stand) -> None:
    stand.made = lambda number: Row(caution=str(Caution.FAILED), message="the cycle cannot be worked out")
    done = give("sweep", harbour, "--speed", "2400..4000 rpm / 5")
    assert done.code == 0
    assert "no case of these will do" in flat(done.out)
    assert "the cycle cannot be worked out" in done.out
    assert "could not be worked out (5 cases)" in flat(done.out)


def test_what_it_rests_on_is_said(give: Callable, harbour: Path, stand: Stand) -> None:
    said = flat(give("sweep", harbour, "--speed", "2400, 3000 rpm").out)
    assert "power is not given" in said
    assert "the burning that gives it there is kept" in said
    assert "inputs are assumed" in said
    assert "power is not given" not in flat(
        give("sweep", harbour, "--speed", "2400, 3000 rpm", "--power", "100 kW").out
    )


def test_csv_of_every_case_and_never_over_another_file(
    give: Callable, harbour: Path, stand: Stand, tmp_path: Path
) -> None:
    to = tmp_path / "all.csv"
    words = ("sweep", harbour, "--speed", "2400..4000 rpm / 100", "--csv", to)
    assert give(*words).code == 0
    assert len(to.read_text().splitlines()) == 101
    to.write_text("mine")
    refused = give(*words)
    assert refused.code == 2
    assert to.read_text() == "mine"
    assert give(*words, "--force").code == 0
    assert len(to.read_text().splitlines()) == 101


def test_a_study_says_where_it_lies(give: Callable, harbour: Path, stand: Stand, tmp_path: Path) -> None:
    done = give(
        "sweep",
        harbour,
        "--speed",
        "2400..4000 rpm / 100",
        "--rod-film",
        "30..80 um / 60",
        "--into",
        tmp_path / "s",
        "--processes",
        "2",
    )
    assert done.code == 0, done.err
    assert "6000 cases:" in done.out
    assert "rows.parquet" in flat(done.out)
    assert stand.asked[0]["into"] == tmp_path / "s"
    assert stand.asked[0]["processes"] == 2


def test_broken_off_it_says_how_to_go_on(give: Callable, harbour: Path, stand: Stand, tmp_path: Path) -> None:
    stand.fault = KeyboardInterrupt()
    done = give("sweep", harbour, "--speed", "3000 rpm", "--into", tmp_path / "s")
    assert done.code == 130
    assert "the same command goes on from there" in flat(done.err)
    assert give("sweep", harbour, "--speed", "3000 rpm").err == ""


@pytest.mark.slow
def test_a_study_from_end_to_end(give: Callable, harbour: Path, tmp_path: Path) -> None:
    """Worked out for good: begun, gone on with, another refused, forced."""
    words = ("sweep", harbour, "--rod-film", "40, 50 um", "--oil", "5W-30, 10W-40", "--into", tmp_path / "study")
    first = give(*words)
    assert first.code == 0, first.err
    assert "4 cases:" in first.out
    again = give(*words)
    assert "4 of them were there already" in flat(again.out)
    other = give(*words[:3], "40, 60 um", *words[4:])
    assert other.code == 2
    assert "differs in rod film" in flat(other.err)
    assert "--force" in other.err
    forced = give(*words[:3], "40, 60 um", *words[4:], "--force")
    assert forced.code == 0, forced.err
    assert "already" not in forced.out


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="no Ctrl-C can be sent to another process there")
def test_ctrl_c_ends_it_cleanly(harbour: Path, tmp_path: Path) -> None:
    into = tmp_path / "study"
    asked = [sys.executable, "-c", "from blockwright.cli.main import main; main()", "sweep", str(harbour)]
    asked += [
        "--speed",
        "2400..4000 rpm / 300",
        "--rod-film",
        "30..80 um / 12",
        "--into",
        str(into),
        "--processes",
        "2",
    ]
    begun = subprocess.Popen(
        asked,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )
    end = time.monotonic() + 120.0
    while not list(into.glob("parts/*.json")) and begun.poll() is None and time.monotonic() < end:
        time.sleep(0.02)
    begun.send_signal(signal.SIGINT)
    _, said = begun.communicate(timeout=120.0)
    assert begun.returncode == 130
    assert "Traceback" not in said
    assert "the same command goes on from there" in flat(said)
    assert list(into.glob("parts/*.json"))
