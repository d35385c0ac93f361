"""Signatures of the route: read, written back without loss, sealed row to row; every fault of a row in one list."""

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.choices.route.step import Evidence, Pass, Proof, Step
from blockwright.engine.steps import Given, Leaned, Look, OwnEvidence, Relied, Signed, Signing, StepChange
from blockwright.jobfile import checks_route, route_csv
from blockwright.jobfile.sealing import seal_of
from blockwright.jobfile.table import Form, read_table, write_table
from blockwright.jobfile.write import folder_texts, write_folder

FILE, JOB = "route.csv", "job.toml"
ZONE = dt.timezone(dt.timedelta(hours=2))
WHEN = dt.datetime(2026, 10, 9, 14, 5, 30, tzinfo=ZONE)
FIT = Relied(Leaned.FIT, "wall clearance", "cylinder 2", 0.00012953353679999446, "conforms", (("r9", "6af2b2f4"),))
PART = Relied(Leaned.PART, "P2; left|a\\b", digests=(("", "bcdb74cb"),))


def sealed(*signings: Signing) -> tuple[Signing, ...]:
    made: list[Signing] = []
    for signing in signings:
        made.append(replace(signing, digest=route_csv.seal(signing, made[-1].digest if made else "")))
    return tuple(made)


ROWS = sealed(
    Signing(1, Signed.SIGNED, "mock-up: deck", "R. Quill", WHEN, Given((2, 14), ("a;b.jpg", "c.jpg"), "L. Marsh", (8,)), "", (PART, FIT)),
    Signing(2, Signed.UNDONE, "mock-up: deck", "R. Quill", WHEN, note='clip lost, "again"\nand more'),
    Signing(3, Signed.SIGNED, "mock-up: deck", "R. Quill", WHEN),
)  # fmt: skip


@pytest.fixture
def signed(harbour):
    folder = harbour.read()
    write_folder(harbour.path, folder_texts(replace(folder.job, signings=ROWS), folder), folder.texts)
    return harbour


def test_written_and_read_again(signed) -> None:
    assert signed.job().signings == ROWS
    text = signed.text(FILE)
    assert "2026-10-09 14:05:30+02:00,2; 14,a\\;b.jpg; c.jpg,L. Marsh,8,," in text
    assert "fit|wall clearance|cylinder 2|0.00012953353679999446|conforms|r9=6af2b2f4" in text


def test_a_job_without_signatures_has_no_such_file(harbour) -> None:
    folder = harbour.read()
    assert folder.job.signings == ()
    assert FILE not in folder_texts(folder.job, folder)


@pytest.mark.parametrize("form", [lambda d: d, lambda d: d.replace(b"\n", b"\r\n"), lambda d: b"\xef\xbb\xbf" + d])
def test_unchanged_it_keeps_its_bytes(signed, form) -> None:
    signed.write(FILE, form(signed.bytes()[FILE].replace(b"\nand", b" and")))
    rows = sealed(*(replace(row, note=row.note.replace("\n", " ")) for row in ROWS))
    data = signed.bytes()[FILE]
    for old, new in zip(ROWS, rows, strict=True):
        data = data.replace(old.digest.encode(), new.digest.encode())
    signed.write(FILE, data)
    folder = signed.read()
    assert folder.job.signings == rows
    write_folder(signed.path, folder_texts(folder.job, folder), folder.texts)
    assert signed.bytes()[FILE] == data


def test_one_more_row_leaves_the_others_as_they_were_typed(signed) -> None:
    """A hand that writes the time in another way, and a spreadsheet with semicolons."""
    header = "step;number;event;by;when;note"
    text = f"{header}\nwash;1;signed;R. Quill;20261009T140530+0200;\n"
    signed.write(FILE, text)
    folder = signed.read()
    assert folder.job.signings == (Signing(1, Signed.SIGNED, "wash", "R. Quill", WHEN),)
    assert folder_texts(folder.job, folder)[FILE] == text
    more = Signing(2, Signed.UNDONE, "wash", "R. Quill", WHEN, note="a; b")
    more = replace(more, digest=route_csv.seal(more, ""))
    write_folder(
        signed.path, folder_texts(replace(folder.job, signings=(*folder.job.signings, more)), folder), folder.texts
    )
    assert signed.job().signings == (*folder.job.signings, more)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("mock-up: deck,R. Quill,2026-10-09 14:05:30", "mock-up: deck,R. Quill,2026-10-09 14:05:31"),
        ("L. Marsh", "R. Quill"),
        ("2; 14", "2; 15"),
        ("0.000129", "0.000139"),
        ("conforms", "undecided"),
        ("r9=", "r8="),
        ("a\\;b.jpg", "a; b.jpg"),
    ],
)
def test_a_changed_row_is_found_out(signed, old, new) -> None:
    signed.change(FILE, old, new)
    assert signed.only().code == "record-seal"
    assert signed.only().place.line == 2


def test_a_row_taken_out_and_rows_exchanged(signed) -> None:
    header, _, *rest = signed.text(FILE).split("\n")
    signed.write(FILE, "\n".join([header, *rest]))
    assert "record-seal" in {problem.code for problem in signed.refused()}


def row(**cells: str) -> str:
    whole = {
        "number": "1",
        "event": "signed",
        "step": "wash",
        "by": "R. Quill",
        "when": "2026-10-09 14:05:30+02:00",
    } | cells
    return write_table([whole], route_csv.FORM)


@pytest.mark.parametrize(
    ("cells", "code", "column"),
    [
        ({"event": "done"}, "signing-event", "event"),
        ({"event": "undone"}, "signing-note", "note"),
        ({"step": ""}, "signing-step", "step"),
        ({"by": ""}, "signing-by", "by"),
        ({"when": ""}, "signing-when", "when"),
        ({"when": "yesterday"}, "signing-when", "when"),
        ({"when": "2026-10-09 14:05"}, "signing-when", "when"),
        ({"number": "one"}, "record-number", "number"),
        ({"number": "2"}, "record-number", "number"),
        ({"counts": "two"}, "signing-count", "counts"),
        ({"counts": "-2"}, "signing-count", "counts"),
        ({"counts": "2;"}, "signing-count", "counts"),
        ({"paint": "8.0"}, "signing-count", "paint"),
        ({"looks": "turning torque, stage main 3"}, "signing-look", "looks"),
        ({"looks": "a: b; : c"}, "signing-look", "looks"),
        ({"relied": "shell|P2"}, "signing-relied", "relied"),
        ({"relied": "fit|wall clearance|cylinder 2|0.1"}, "signing-relied", "relied"),
        ({"relied": "fit|wall clearance|cylinder 2|wide|conforms"}, "signing-relied", "relied"),
        ({"relied": "fit|wall clearance|cylinder 2|nan|conforms"}, "signing-relied", "relied"),
        ({"relied": "part"}, "signing-relied", "relied"),
        ({"digest": "0" * 64}, "record-seal", ""),
    ],
)
def test_faults_of_a_row(harbour, cells, code, column) -> None:
    harbour.write(FILE, row(**cells))
    found = harbour.only()
    assert (found.code, found.place.file, found.place.line, found.place.field) == (code, FILE, 2, column)
    assert found.mend


def test_all_faults_at_once(harbour) -> None:
    bad = row(event="done", by="", when="x", counts="y") + row(number="2", step="").split("\n", 1)[1]
    harbour.write(FILE, bad)
    harbour.change(JOB, 'kind = "crank"', 'kind = "cranck"')
    assert {(p.place.file, p.code) for p in harbour.refused()} >= {
        (JOB, "toml-choice"), (FILE, "signing-event"), (FILE, "signing-by"), (FILE, "signing-when"), (FILE, "signing-count"),
        (FILE, "signing-step"),
    }  # fmt: skip


def test_a_row_by_hand_needs_no_digest(harbour) -> None:
    harbour.write(FILE, row())
    assert harbour.job().signings == (Signing(1, Signed.SIGNED, "wash", "R. Quill", WHEN),)


words = (
    st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), min_size=1, max_size=12)
    .map(str.strip)
    .filter(bool)
)
digests = st.lists(st.tuples(words, st.text("0123456789abcdef", min_size=8, max_size=8)), max_size=3).map(tuple)
parts = st.builds(lambda name, digest: Relied(Leaned.PART, name, digests=(("", digest),)), words, st.just("0a1b2c3d"))
fits = st.builds(
    Relied,
    st.just(Leaned.FIT),
    words,
    words,
    st.none() | st.floats(allow_nan=False, allow_infinity=False),
    words,
    digests,
)
givens = st.builds(
    Given, st.lists(st.integers(0, 999_999), max_size=3).map(tuple), st.lists(words, max_size=3).map(tuple), st.just("") | words,
    st.lists(st.integers(0, 999_999), max_size=2).map(tuple),
    st.lists(st.builds(Look, words.filter(lambda word: ":" not in word), words), max_size=2).map(tuple),
)  # fmt: skip
signings = st.builds(
    Signing, st.just(1), st.sampled_from(Signed), words, words,
    st.datetimes(timezones=st.just(ZONE)), givens, words, st.lists(parts | fits, max_size=4).map(tuple),
)  # fmt: skip


@given(signings, st.sampled_from((",", ";", "\t")))
def test_any_signature_is_read_back_the_same(signing: Signing, separator: str) -> None:
    [whole] = sealed(signing)
    text = write_table([route_csv.cells_of(whole)], Form(separator, "\n", route_csv.COLUMNS))
    problems: list[object] = []
    rows, form = read_table(text, FILE, route_csv.COLUMNS, route_csv.REQUIRED, problems)
    assert form is not None
    assert route_csv.signings_from(rows, problems) == (whole,)
    assert problems == []


def test_a_file_without_the_later_column_keeps_its_seal_and_may_grow(harbour) -> None:
    """The seal of a row without looks is that of a file that has no such column."""
    columns = [name for name in route_csv.COLUMNS if name != "looks"]
    [old] = sealed(Signing(1, Signed.SIGNED, "wash", "R. Quill", WHEN, note="clean"))
    cells = route_csv.cells_of(old)
    assert old.digest == seal_of([cells[name] for name in columns if name != "digest"], "")
    harbour.write(FILE, write_table([cells], Form(",", "\n", tuple(columns))))
    folder = harbour.read()
    given = Given(looks=(Look("turning torque, stage main 3", "as its neighbours; no more"),))
    more = Signing(2, Signed.SIGNED, "final: crank", "R. Quill", WHEN, given)
    more = replace(more, digest=route_csv.seal(more, old.digest))
    write_folder(
        harbour.path, folder_texts(replace(folder.job, signings=(*folder.job.signings, more)), folder), folder.texts
    )
    assert harbour.job().signings == (old, more)
    harbour.change(FILE, "as its neighbours", "as it was")
    assert harbour.only().code == "record-seal"


def test_evidence_of_a_step_of_ones_own_is_read_and_written(harbour) -> None:
    text = harbour.text(JOB) + (
        '\n[[step]]\nkey = "mine"\nname = "Weigh it"\nafter = ["mock-up: parts"]\n'
        'evidence = [{proof = "count", what = "bolts", number = 8}, {proof = "fit", what = "wall clearance", at = "cylinder 2"}]\n'
    )
    harbour.write(JOB, text)
    folder = harbour.read()
    assert folder.job.sheet.step[0].evidence == (
        OwnEvidence(proof=Proof.COUNT, what="bolts", number=8),
        OwnEvidence(proof=Proof.FIT, what="wall clearance", at="cylinder 2"),
    )
    assert folder_texts(folder.job, folder)[JOB] == text
    harbour.change(JOB, 'what = "wall clearance", at = "cylinder 2"', 'what = "wall clearence", at = "cylinder 2"')
    found = harbour.only()
    assert (found.code, found.place.line) == ("step-evidence", harbour.line(JOB, "wall clearence"))
    assert found.mend == "Did you mean 'wall clearance'?"


STEPS = (
    Step(key="wash", stage=Pass.STRIP, name="Wash", group="Wash"),
    Step(key="final: crank", stage=Pass.FINAL, name="Lay the crank", group="Crank", after=("wash",),
         evidence=(Evidence(Proof.COUNT, "caps", number=5),)),
)  # fmt: skip


@pytest.fixture
def own(harbour, monkeypatch):
    """A job over a made-up route."""
    monkeypatch.setattr(checks_route, "steps_of", lambda job: STEPS)
    return harbour


def add(bench, table: str) -> None:
    bench.write(JOB, bench.text(JOB) + f"\n[[step]]\n{table}\n")


def test_a_step_of_ones_own_is_read_and_written(own) -> None:
    add(own, 'key = "mine"\nname = "Weigh it"\ndo = ["Weigh.", "Write it down."]\nafter = ["wash"]')
    folder = own.read()
    assert folder.job.sheet.step == (
        StepChange(key="mine", name="Weigh it", do=("Weigh.", "Write it down."), after=("wash",)),
    )
    assert folder_texts(folder.job, folder)[JOB] == own.text(JOB)


@pytest.mark.parametrize(
    ("table", "code", "line"),
    [
        ('key = "washh"\nafter = ["final: crank"]', "step-unknown", 'key = "washh"'),
        ('key = "wash"\nafter = ["final: crank"]', "step-loop", 'after = ["final: crank"]'),
        ('key = "final: crank"\nstruck = true\nby = "R"\nwhy = "w"', "step-hold", "struck = true"),
        ('key = "mine"\nname = "x"\nbefore = ["final: cranck"]', "step-unknown", 'before = ["final: cranck"]'),
        ('key = "wash"\nstruck = true', "step-unsigned", "struck = true"),
    ],
)
def test_a_change_that_cannot_be_is_told_at_its_line(own, table, code, line) -> None:
    add(own, table)
    found = own.only()
    assert (found.code, found.place.file, found.place.line) == (code, JOB, own.line(JOB, line))
    assert found.mend
