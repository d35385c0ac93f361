"""A study on disk: parts that cover every case once, files that are whole, folders that are somebody else's, and the table at its end."""

import csv
import io
import json
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.engine.job import Job
from blockwright.problems import BlockwrightError
from blockwright.running.sweep import columns as tables
from blockwright.running.sweep.cases import Change, Ranges, cases
from blockwright.running.sweep.columns import columns, csv_text, parquet_bytes
from blockwright.running.sweep.folder import HALF, Folder
from blockwright.running.sweep.plan import DUTIES, PART, Plan, parts_of, plan_of
from blockwright.running.sweep.rows import Row
from blockwright.running.sweep.study import sweep

RANGES = Ranges(speed_rad_s=(300.0, 350.0), oil=("5W-30", "10W-40"), rod_film=(Change(4e-5, False), Change(1e-5)))
ROW = Row(peak_pa=1.0123456789012345e7, wall_hot_m=-1.1e-5, wall_at="cylinder 3", caution="", message="")


@pytest.fixture
def plan(job: Job) -> Plan:
    return plan_of(job, RANGES, rings=False)


@given(duties=st.integers(1, 90), inner=st.integers(1, 120))
def test_parts_hold_every_case_once(job: Job, duties: int, inner: int) -> None:
    speeds, gaps = tuple(300.0 + n for n in range(duties)), tuple(Change(1e-6 * n) for n in range(inner))
    listed = cases(job, Ranges(speed_rad_s=speeds, top_gap=gaps))
    parts = parts_of(listed)
    assert [index for part in parts for index in range(part.first, part.end)] == list(range(len(listed)))
    assert [part.number for part in parts] == list(range(len(parts)))
    assert max(part.end - part.first for part in parts) <= PART
    for block in {part.block for part in parts}:
        own = [case.duty for part in parts if part.block == block for case in listed[part.first : part.end]]
        assert len(set(own)) <= DUTIES
    blocks = {case.duty: part.block for part in parts for case in listed[part.first : part.end]}
    assert all(blocks[case.duty] == part.block for part in parts for case in listed[part.first : part.end])


def test_what_decides_the_rows_is_in_the_mark(job: Job, plan: Plan) -> None:
    others = [
        replace(plan, ranges=replace(RANGES, oil=("5W-30",))), replace(plan, rings=True), replace(plan, digest="0"),
        replace(plan, version=plan.version + 1), replace(plan, ranges=replace(RANGES, rod_film=(Change(4e-5), Change(1e-5)))),
    ]  # fmt: skip
    assert len({plan.mark, *(each.mark for each in others)}) == 1 + len(others)
    assert replace(plan, program="0.0.0").mark == plan.mark
    assert plan.differs(replace(plan, program="0.0.0").as_plain()) == ()
    assert plan.differs(others[0].as_plain()) == ("oil",)
    assert plan.differs(others[1].as_plain()) == ("whether blow-by is worked out",)
    assert "the job, its readings" in plan.differs(others[2].as_plain())[0]


def test_what_is_kept_is_read_as_it_was(plan: Plan, job: Job, tmp_path: Path) -> None:
    folder, part = Folder(tmp_path / "study", plan), parts_of(cases(job, RANGES))[0]
    folder.begin()
    assert folder.rows(part) is None
    rows = tuple(replace(ROW, crown_c=200.0 + n / 3.0) for n in range(part.end - part.first))
    folder.keep(part, rows)
    assert folder.rows(part) == rows
    folder.begin()
    assert folder.rows(part) == rows


@pytest.mark.parametrize(
    "damage",
    [
        lambda text: text[: len(text) // 2],
        lambda text: "",
        lambda text: "[]",
        lambda text: text.replace('"crown_c"', '"crow_c"'),
        lambda text: text.replace('"first": 0', '"first": 8'),
        lambda text: json.dumps({**json.loads(text), "mark": "0"}),
        lambda text: json.dumps({**json.loads(text), "rows": json.loads(text)["rows"][1:]}),
    ],
    ids=["half", "empty", "list", "name", "place", "mark", "short"],
)
def test_a_damaged_part_is_none(damage, plan: Plan, job: Job, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    folder, part = Folder(tmp_path, plan), parts_of(cases(job, RANGES))[0]
    folder.begin()
    folder.keep(part, [ROW] * (part.end - part.first))
    (path,) = (tmp_path / "parts").glob("part-*.json")
    text = path.read_text()
    assert damage(text) != text
    path.write_text(damage(text))
    assert folder.rows(part) is None


def test_halves_that_a_kill_left_are_cleared(plan: Plan, tmp_path: Path) -> None:
    Folder(tmp_path, plan).begin()
    half = tmp_path / "parts" / f"part-00000.json.77{HALF}"
    half.write_text("{")
    Folder(tmp_path, plan).begin()
    assert not half.exists()


def test_a_foreign_folder_is_left_alone_even_by_force(plan: Plan, tmp_path: Path) -> None:
    (tmp_path / "letters.txt").write_text("mine")
    for force in (False, True):
        with pytest.raises(BlockwrightError, match="no study"):
            Folder(tmp_path, plan).begin(force=force)
    assert [each.name for each in tmp_path.iterdir()] == ["letters.txt"]


@pytest.mark.parametrize("text", ["{", "[1]", '{"format": "another 1"}'])
def test_a_plan_that_is_none_is_a_foreign_folder(text: str, plan: Plan, tmp_path: Path) -> None:
    (tmp_path / "plan.json").write_text(text)
    with pytest.raises(BlockwrightError, match="no study"):
        Folder(tmp_path, plan).begin(force=True)


def test_another_study_is_kept_unless_forced(plan: Plan, job: Job, tmp_path: Path) -> None:
    folder, part = Folder(tmp_path, plan), parts_of(cases(job, RANGES))[0]
    folder.begin()
    folder.keep(part, [ROW] * 8)
    other = Folder(tmp_path, replace(plan, ranges=replace(RANGES, oil=("0W-20", "10W-40"))))
    with pytest.raises(BlockwrightError, match="differs in oil"):
        other.begin()
    assert folder.rows(part) is not None
    other.begin(force=True)
    assert other.rows(part) is None
    assert list((tmp_path / "parts").iterdir()) == []
    assert json.loads((tmp_path / "plan.json").read_text())["ranges"]["oil"] == ["0W-20", "10W-40"]


def pairs_of(job: Job):  # type: ignore[no-untyped-def]
    listed = cases(job, RANGES)
    return [(case, replace(ROW, rod_film_m=1e-6 * (n + 1))) for n, case in enumerate(listed)]


def test_the_table_says_its_units_in_numbers_by_hand(job: Job) -> None:
    """300 rad/s is 2864.789 rev/min; 10.123456789 MPa is 101.23456789 bar."""
    rows = list(csv.DictReader(io.StringIO(csv_text(pairs_of(job)))))
    assert len(rows) == 8
    assert float(rows[0]["speed_rpm"]) == pytest.approx(2864.78898, rel=1e-8)
    assert float(rows[0]["peak_bar"]) == pytest.approx(101.234568, rel=1e-8)
    assert float(rows[0]["wall_hot_um"]) == pytest.approx(-11.0, rel=1e-8)
    assert [(row["rod_film_set_um"], row["rod_film_step_um"]) for row in rows[:2]] == [("40.0", ""), ("", "10.0")]
    assert rows[3]["rod_film_um"] == "4.0"
    assert rows[0]["blow_by_percent"] == ""
    assert rows[0]["oil"] == "5W-30"


def test_parquet_holds_the_same_with_units_and_origin(job: Job, plan: Plan) -> None:
    pa = pytest.importorskip("pyarrow")
    pq = pytest.importorskip("pyarrow.parquet")
    pairs = pairs_of(job)
    table = pq.read_table(pa.BufferReader(parquet_bytes(pairs, plan.as_plain())))
    assert table.column_names == [each.name for each in columns()]
    by_csv = list(csv.DictReader(io.StringIO(csv_text(pairs))))
    for row, plain in zip(table.to_pylist(), by_csv, strict=True):
        assert {name: "" if value is None else str(value) for name, value in row.items()} == plain
    assert table.schema.field("rod_film_um").metadata == {
        b"unit": b"um",
        b"words": b"smallest oil film of a rod bearing",
    }
    about = json.loads(table.schema.metadata[b"blockwright"])
    assert about["job"] == job.sheet.job
    assert about["digest"] == plan.digest
    assert about["invented"] is True


def test_without_the_extra_csv_is_written_and_parquet_refused(
    job: Job, plan: Plan, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tables, "find_spec", lambda name: None)
    with pytest.raises(BlockwrightError, match=r"blockwright\[studies\]"):
        parquet_bytes(pairs_of(job), plan.as_plain())
    folder = Folder(tmp_path, plan)
    folder.begin()
    assert folder.finish(pairs_of(job)).name == "rows.csv"


def test_column_names_say_their_unit() -> None:
    endings = {
        "rpm": "_rpm", "kW": "_kw", "bar": "_bar", "°C": "_c", "um": "_um", "W": "_w", "kN": "_kn", "%": "_percent", "L/min": "_l_min",
    }  # fmt: skip
    for each in columns():
        assert each.words
        assert each.name.endswith(endings[each.unit]) if each.unit else True
    assert len({each.name for each in columns()}) == len(columns())


def test_a_disk_that_refuses_is_said(plan: Plan, job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = Folder(tmp_path, plan)
    folder.begin()

    def full(self: Path, to: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(BlockwrightError, match="No space left"):
        folder.keep(parts_of(cases(job, RANGES))[0], [ROW] * 8)
    assert list((tmp_path / "parts").iterdir()) == []


@pytest.mark.parametrize(
    ("ranges", "match"),
    [(Ranges(oil=("5W-30", "soup")), "no oil grade"), (Ranges(oil=("99W-99",)), "no oil grade")],
)
def test_what_cannot_be_is_said_before_a_folder_is_made(ranges: Ranges, match: str, job: Job, tmp_path: Path) -> None:
    with pytest.raises(BlockwrightError, match=match):
        sweep(job, ranges, into=tmp_path / "study")
    assert not (tmp_path / "study").exists()
