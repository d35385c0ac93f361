"""A signed row that was changed, moved or taken out shows; a row written by hand counts, and is unsealed."""

from dataclasses import replace

import pytest

from blockwright.engine.rules import Accepted, Record
from blockwright.fits.assess import assess
from blockwright.jobfile.record_csv import seal
from blockwright.jobfile.write import folder_texts, write_folder

FILE = "record.csv"


@pytest.fixture
def signed(harbour):
    """A job with four sealed acceptances: the one it had, and three more."""
    folder = harbour.read()
    records = list(folder.job.records)
    for number, (fit, at, text, value) in enumerate(
        [
            ("rod side", "throw 1", "0.3 mm", 3e-4),
            ("rod side", "throw 2", "0.31 mm", 3.1e-4),
            ("wall clearance", "cylinder 1", "0.1 mm", 1e-4),
        ],
        2,
    ):
        record = Record(
            number,
            Accepted.JUDGEMENT,
            fit,
            at,
            value,
            text,
            "R. Quill (invented)",
            None,
            f"reason {number}, \\ and\nmore",
        )
        records.append(replace(record, digest=seal(record, records[-1].digest)))
    write_folder(harbour.path, folder_texts(replace(folder.job, records=tuple(records)), folder))
    assert harbour.job().records == tuple(records)
    return harbour


def rows_of(bench) -> tuple[str, list[str]]:
    """The header, and the rows with the line feeds within them."""
    header, *rows = bench.text(FILE).replace("and\nmore", "and|more").splitlines()
    return header, rows


def write(bench, header: str, rows: list[str]) -> None:
    bench.write(FILE, "\n".join([header, *rows, ""]).replace("and|more", "and\nmore"))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("reason 3", "reason 4"),
        ("throw 2", "throw 4"),
        ("0.31 mm", "0.32 mm"),
        ("judgement", "concession"),
        ("R. Quill", "L. Marsh"),
        (",,", ",2026-10-10,"),
        ("and|more", "and more"),
    ],
)
def test_a_changed_row(signed, old, new) -> None:
    header, rows = rows_of(signed)
    assert old in rows[2]
    rows[2] = rows[2].replace(old, new, 1)
    write(signed, header, rows)
    found = signed.only()
    assert (found.code, found.place.line) == ("record-seal", signed.line(FILE, "\n3,") + 1)
    assert "row 3" in found.what
    assert "sign again" in found.mend


def test_words_moved_from_one_cell_to_the_next(signed) -> None:
    """The digest tells where one cell ends and the next begins."""
    record = signed.job().records[2]
    moved = replace(record, by=f"{record.by}\n", when=None)
    assert seal(moved, "") != seal(record, "")
    assert seal(replace(record, by="a\nb", why="c"), "") != seal(replace(record, by="a", why="b\nc"), "")
    assert seal(replace(record, by="a\\n", why="c"), "") != seal(replace(record, by="a\n", why="c"), "")


@pytest.mark.parametrize("index", [0, 1, 2])
def test_a_row_taken_out(signed, index) -> None:
    header, rows = rows_of(signed)
    del rows[index]
    write(signed, header, rows)
    found = signed.only()
    assert found.code == "record-seal"
    assert f"row {index + 2}" in found.what


def test_rows_that_changed_places(signed) -> None:
    header, rows = rows_of(signed)
    rows[1], rows[2] = rows[2], rows[1]
    write(signed, header, rows)
    assert [problem.code for problem in signed.refused()] == ["record-seal"] * 3


def test_a_row_put_in_between(signed) -> None:
    header, rows = rows_of(signed)
    rows.insert(2, "3,judgement,rod side,throw 4,0.3 mm,somebody,,no reason,")
    write(signed, header, rows)
    problems = signed.refused()
    assert {problem.code for problem in problems} == {"record-seal"}


def test_a_wrong_digest(signed) -> None:
    header, rows = rows_of(signed)
    rows[3] = rows[3][:-1] + ("0" if rows[3][-1] != "0" else "1")
    write(signed, header, rows)
    assert signed.only().code == "record-seal"


@pytest.mark.parametrize(("number", "told"), [("5", False), ("6", True), ("4", True), ("1", True)])
def test_a_row_by_hand_bears_the_next_number(signed, number, told) -> None:
    header, rows = rows_of(signed)
    write(signed, header, [*rows, f"{number},judgement,rod side,throw 4,0.3 mm,somebody,,by hand,"])
    if told:
        found = signed.only()
        assert (found.code, found.place.field) == ("record-number", "number")
        assert found.what == f"the row bears the number {number} and comes after number 4."
    else:
        assert signed.job().records[4].digest == ""


def test_a_row_by_hand_counts(harbour) -> None:
    sealed = harbour.text(FILE)
    by_hand = sealed[: sealed.rindex(",") + 1] + "\n"
    before = {str(result.position): result.record for result in assess(harbour.job()).results if result.record}
    assert before
    harbour.write(FILE, by_hand)
    after = {str(result.position): result.record for result in assess(harbour.job()).results if result.record}
    assert after.keys() == before.keys()
    assert {record.digest for record in after.values()} == {""}
    assert all(replace(record, digest=before[at].digest) == before[at] for at, record in after.items())


def test_a_seal_after_a_row_by_hand(harbour) -> None:
    """The next row is sealed to what the row before it says of itself: nothing."""
    text = harbour.text(FILE)
    record = Record(2, Accepted.JUDGEMENT, "rod side", "throw 1", 3e-4, "0.3 mm", "R. Quill", None, "so be it")
    row = f"2,judgement,rod side,throw 1,0.3 mm,R. Quill,,so be it,{seal(record, '')}\n"
    harbour.write(FILE, text[: text.rindex(",") + 1] + "\n" + row)
    assert harbour.job().records[1].digest == seal(record, "")
