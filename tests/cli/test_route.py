"""`blockwright route`: the whole route, one step, signatures and their refusals, in 80 columns."""

import csv
import datetime as dt
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from rich.cells import cell_len

from blockwright.choices.route import whole
from blockwright.choices.route.step import Evidence, Pass, Proof, Step
from blockwright.cli import route_sign
from blockwright.cli.route_step import print_step
from blockwright.cli.terminal import console
from blockwright.engine.job import Job
from blockwright.engine.positions import cylinder
from blockwright.jobfile import checks_route
from blockwright.jobfile.folder import read_folder

NOW = dt.datetime(2026, 10, 9, 14, 5, tzinfo=dt.UTC)
WALL = Evidence(Proof.FIT, "wall clearance", cylinder(2))
JPEG = b"\xff\xd8\xff\xe0 no real picture, and nobody opens it"
LONG = "and then say so in as many words as anybody would ever write beside it, and some more"


def made_up(job: Job) -> tuple[Step, ...]:
    final = Pass.FINAL
    return (
        Step(key="mock-up: piston 2", stage=Pass.MOCK_UP, name="Try piston 2", group="Mock-up", evidence=(WALL,)),
        Step(key="wash", stage=Pass.STRIP, name="Wash everything", group="Strip and wash", after=("mock-up: piston 2",)),
        Step(
            key="final: piston 2", stage=final, name="Put piston 2 into its bore", group="Pistons", at=cylinder(2), after=("wash",),
            parts=(job.in_cylinder(2).piston,), tools=("ring sleeve",), consumables=("oil",), do=(f"Push it in {LONG}.",),
            facing=("Mark to the front.",), lubricant="assembly oil", torque=("none",), cautions=("Ring ends cut.",),
            evidence=(
                WALL, Evidence(Proof.COUNT, "clips", number=2), Evidence(Proof.PHOTO, "clips"), Evidence(Proof.EYES, "clips"),
            ),
            closes=("wall clearance, cylinder 1",),
        ),
        Step(key="final: bolts", stage=final, name="Tighten", group="Rods", after=("final: piston 2",),
             evidence=(Evidence(Proof.PAINT, "rod bolts", number=8),)),
        Step(key="final: bead", stage=final, name="Lay the bead", group="Sump", after=("final: bolts",), open_time_s=600.0),
        Step(key="final: sump", stage=final, name="Put the sump on", group="Sump", within="final: bead"),
    )  # fmt: skip


class Clock:
    """The time at which is signed; a minute on with every look."""

    def __init__(self) -> None:
        self.at = NOW

    def __call__(self) -> dt.datetime:
        self.at += dt.timedelta(minutes=1)
        return self.at


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    clock = Clock()
    monkeypatch.setattr(route_sign, "now", clock)
    for module in (whole, checks_route):
        monkeypatch.setattr(module, "steps_of", made_up)
    return clock


@pytest.fixture
def job(clock: Clock, harbour: Path) -> Path:
    (harbour / "attachments").mkdir()
    (harbour / "attachments" / "clip.jpg").write_bytes(JPEG)
    return harbour


BY = ("--by", "R. Quill")
WHOLE = (*BY, "--count", 2, "--photo", "clip.jpg", "--eyes", "L. Marsh")


def rows(folder: Path) -> list[dict[str, str]]:
    with (folder / "route.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def others(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file() and path.name != "route.csv"}


def narrow(text: str) -> str:
    assert [line for line in text.splitlines() if cell_len(line) > 80] == []
    return " ".join(text.split())


def to_the_bolts(give: Callable, job: Path) -> None:
    for words in (("mock", *BY), ("wash", *BY), ("final: p", *WHOLE)):
        done = give("route", "sign", job, *words)
        assert done.code == 0, done.err


def test_a_new_route(give: Callable, job: Path) -> None:
    done = give("route", "show", job)
    out = narrow(done.out)
    assert done.code == 0
    assert "0 of 6 steps done. 6 left, 3 of them hold points; 1 can be done now." in out
    assert "MOCK-UP Mock-up 1 now now hold mock-up: piston 2 (Try piston 2)" in out
    assert "Pistons 1 waits" in out
    assert "Put piston 2" not in out
    assert "waits hold final: piston 2 (Put piston 2 into its bore)" in narrow(give("route", "show", job, "--all").out)


def test_a_signature_is_kept_and_opens_the_next(give: Callable, job: Path) -> None:
    before = others(job)
    done = give("route", "sign", job, "mock-up: piston 2", *BY, "--note", "light press")
    assert (done.code, done.err) == (0, "")
    out = narrow(done.out)
    assert "Signed: mock-up: piston 2, by R. Quill, 2026-10-09 14:06." in out
    assert "now wash (Wash everything)" in out
    assert others(job) == before
    [row] = rows(job)
    assert (row["number"], row["event"], row["step"], row["by"], row["note"]) == (
        "1", "signed", "mock-up: piston 2", "R. Quill", "light press",
    )  # fmt: skip
    assert row["when"] == "2026-10-09 14:06:00+00:00"
    assert row["relied"].startswith("fit|wall clearance|cylinder 2|")
    assert re.fullmatch("[0-9a-f]{64}", row["digest"])


def test_what_is_missing_is_told_at_once_and_nothing_is_written(give: Callable, job: Path) -> None:
    for words in (("mock", *BY), ("wash", *BY)):
        give("route", "sign", job, *words)
    before = rows(job)
    done = give("route", "sign", job, "final: p")
    assert done.code == 2
    assert "4 things must be mended first" in done.err
    for words in (
        "nobody signs",
        "clips: not counted. There must be 2.",
        "photo of clips: none is named",
        "nobody else",
    ):
        assert words in done.err
    assert rows(job) == before
    assert give("route", "sign", job, "final: p", *WHOLE).code == 0


def test_a_photo_must_be_there(give: Callable, job: Path) -> None:
    done = give("route", "sign", job, "mock", *BY, "--photo", "other.jpg")
    assert done.code == 2
    assert "photo 'other.jpg': there is no such file" in done.err
    assert not (job / "route.csv").exists()


def test_a_step_that_waits(give: Callable, job: Path) -> None:
    done = give("route", "sign", job, "sump", *BY)
    assert done.code == 2
    assert "it waits for 'final: bead' (Lay the bead)." in done.err


def test_a_clock_runs_and_runs_out(give: Callable, job: Path, clock: Clock) -> None:
    to_the_bolts(give, job)
    give("route", "sign", job, "bolts", *BY, "--paint", 8)
    out = narrow(give("route", "sign", job, "bead", *BY).out)
    assert "final: bead: 10 min left, until 14:20, for final: sump." in out
    clock.at += dt.timedelta(minutes=20)
    done = give("route", "sign", job, "sump", *BY)
    assert done.code == 2
    assert "what 'final: bead' put on stood 21 min, and stays open 10 min." in done.err
    assert "A CLOCK RUNS" in give("route", "show", job).out
    assert give("route", "undo", job, "bead", *BY, "--why", "set").code == 0
    for key in ("bead", "sump"):
        assert give("route", "sign", job, key, *BY).code == 0
    assert "6 of 6 steps done. Nothing is left." in narrow(give("route", "show", job).out)


def test_undoing_says_what_is_open_again(give: Callable, job: Path) -> None:
    to_the_bolts(give, job)
    done = give("route", "undo", job, "wash", *BY, "--why", "grit found")
    assert done.code == 0
    out = narrow(done.out)
    assert "Undone: wash, by R. Quill: grit found." in out
    assert "One step stood on it and is open again: final: piston 2." in out
    shown = give("route", "show", job)
    assert shown.code == 1
    out = narrow(shown.out)
    assert "again wash (Wash everything)" in out
    assert "wash: undone by R. Quill: grit found." in out
    assert "final: piston 2: 'wash', on which it stands, was undone." in out


def test_undoing_wants_a_reason(give: Callable, job: Path) -> None:
    give("route", "sign", job, "mock", *BY)
    done = give("route", "undo", job, "mock", *BY)
    assert done.code == 2
    assert "Say why." in done.err
    assert len(rows(job)) == 1


def test_a_reading_withdrawn_later_opens_the_step(give: Callable, job: Path) -> None:
    give("route", "sign", job, "mock", *BY)
    mark = read_folder(job).job.signings[0].relied[0].digests[0][0]
    readings = job / "readings.csv"
    text = readings.read_text(encoding="utf-8")
    line = next(line for line in text.splitlines() if line.startswith(f"{mark},"))
    assert line.endswith(",,")
    readings.write_text(text.replace(line, line[:-1] + "slip,"), encoding="utf-8")
    shown = give("route", "show", job)
    assert shown.code == 1
    assert f"reading {mark} was withdrawn" in narrow(shown.out)


def test_one_step_on_one_screen(give: Callable, job: Path) -> None:
    done = give("route", "step", job, "final: piston 2")
    out = narrow(done.out)
    assert done.code == 0
    for words in (
        "Put piston 2 into its bore final: piston 2; final assembly; Pistons", "It waits for 'wash'.", "Ring ends cut.",
        "ring sleeve", "assembly oil", "Mark to the front.", "Push it in and then say so", "wall clearance, cylinder 2: conforms",
        "count: clips (2)", "second pair of eyes: clips", "closes wall clearance, cylinder 1", "3 steps wait for it",
    ):  # fmt: skip
        assert words in out, words
    to_the_bolts(give, job)
    assert "Done: signed by R. Quill, 2026-10-09 14:08." in narrow(give("route", "step", job, "final: piston 2").out)


def test_last_chances(give: Callable, job: Path) -> None:
    give("route", "sign", job, "mock", *BY)
    out = narrow(give("route", "sign", job, "wash", *BY).out)
    assert "Before final: piston 2: last chance to measure wall clearance, cylinder 1 (open)." in out
    assert "last chance" in narrow(give("route", "show", job).out)
    assert "last chance" in narrow(give("route", "step", job, "final: piston 2").out)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("piston 2", "may be any of 2 steps"),
        ("final: pston 2", "Did you mean 'final: piston 2'?"),
        ("zz", "route show"),
    ],
)
def test_a_key_that_is_not_clear(give: Callable, job: Path, typed: str, words: str) -> None:
    for command in ("step", "sign", "undo"):
        done = give("route", command, job, typed)
        assert done.code == 2
        assert words in done.err


def test_a_row_that_was_changed_is_found_out(give: Callable, job: Path) -> None:
    give("route", "sign", job, "mock", *BY)
    path = job / "route.csv"
    path.write_text(path.read_text(encoding="utf-8").replace("R. Quill", "L. Marsh"), encoding="utf-8")
    done = give("route", "show", job)
    assert done.code == 2
    assert "its digest does not fit" in done.err


def test_long_words_keep_to_80_columns(give: Callable, job: Path) -> None:
    narrow(give("route", "sign", job, "mock", "--by", LONG, "--note", LONG).out)
    narrow(give("route", "show", job, "--all").out)
    narrow(give("route", "step", job, "mock").out)
    narrow(give("route", "undo", job, "mock", "--by", LONG, "--why", LONG).out)
    narrow(give("route", "show", job).out)


@pytest.mark.parametrize("name", ["harbour", "hillclimb"])
def test_the_routes_of_the_demonstration_jobs(
    give: Callable, request: pytest.FixtureRequest, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """The real steps: each is shown in 80 columns."""
    folder = request.getfixturevalue(name)
    shown = give("route", "show", folder, "--all")
    assert (shown.code, shown.err) == (0, "")
    narrow(shown.out)
    progress = whole.route_progress(read_folder(folder).job)
    assert len(progress.states) > 30
    for state in progress.states.values():
        print_step(console(), progress, state)
        assert state.step.key in narrow(capsys.readouterr().out)


@pytest.mark.parametrize("command", [(), ("show",), ("step",), ("sign",), ("undo",)])
def test_help_keeps_to_80_columns(give: Callable, command: tuple[str, ...]) -> None:
    done = give("route", *command, "--help")
    assert done.code == 0
    narrow(done.out)
