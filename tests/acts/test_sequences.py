"""Whatever is done in whatever order: the events give the same job and the same files, in one go, in two, on the disk, and read back."""

import datetime as dt
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from blockwright.acts.event import check_chain, event_from, event_line, sealed
from blockwright.acts.kept import fold, start
from blockwright.acts.store import FolderStore, proposed
from blockwright.jobfile.folder import read_texts, texts_of_folder
from blockwright.jobfile.table import Form, read_table, write_table
from blockwright.problems import BlockwrightError

NOON = dt.datetime(2026, 11, 3, 12, 0, tzinfo=dt.UTC)
ROWS = ["r901", "r902", "r903", "r1", "r2", "r194", "r195"]
NOTES = ["", 'a "note", twice', "naïve; 0,5 mm", "two\nlines", " wide  gaps "]
TEMPS = ["", "", "21 °C", "70 °F", "22,5 °C", "not known"]
STATES = ["", "plate on", "plate off"]


def said(**words):
    """Words that are there, from a strategy for each; a blank leaves the word out."""
    return st.fixed_dictionaries(words).map(
        lambda drawn: {name.rstrip("_"): each for name, each in drawn.items() if each != ""}
    )


def one_of(*each):
    return st.sampled_from(each)


RING = {"rings": one_of("R1", "R2"), "ring": one_of("top", "second"), "gauge": one_of("FB1", "FB2")}
PISTONS = one_of("P1", "P2", "P3", "P9")
ACTS = st.one_of(
    st.tuples(st.just("reading taken"), said(
        row=one_of("", *ROWS), part=one_of("", "B1"), feature=one_of("", "bore"), at=one_of("", "cylinder 2"), spot=one_of("", "middle axial"),
        gauge=one_of("", "BG1"), setting=one_of("", "S1"), sitting=one_of("", "later", "bores 1", "new"), value=one_of("-4 um", "-0,02 mm", "3", "97.25 mm", ".3 thou"),
        unit=one_of("", "um"), state=st.sampled_from(STATES), part_temp=st.sampled_from(TEMPS), gauge_temp=st.sampled_from(TEMPS), note=st.sampled_from(NOTES),
    )),
    st.tuples(st.just("reading withdrawn"), said(row=st.sampled_from(ROWS), why=st.sampled_from(NOTES))),
    st.tuples(st.just("state set"), said(
        rows=st.lists(st.sampled_from(ROWS[:3]), min_size=1, max_size=3, unique=True), state=st.sampled_from(STATES), part_temp=st.sampled_from(TEMPS),
        sitting=one_of("", "later", "bores 1"), gauge=one_of("", "BG1", "M1"),
    )),
    st.tuples(st.just("pass filed"), said(**RING, taken=one_of("1", "2,0", "0"), note=st.sampled_from(NOTES))),
    st.tuples(st.just("gap read"), said(**RING, pass_=one_of("", "p6", "p7"), gap=one_of("0.40 to 0.45", "16 to 17 thou", "0,30 to 0,35 mm"),
                                        ring_temp=st.sampled_from(TEMPS), depth=one_of("", "25,5 mm"), note=st.sampled_from(NOTES))),
    st.tuples(st.just("pass withdrawn"), said(pass_=one_of("p1", "p6", "p7"), why=st.sampled_from(NOTES))),
    st.tuples(st.just("wheel put on"), said(wheel=one_of("W1", "W2", 'W "3"'))),
    st.tuples(st.just("part registered"), said(part=said(mark=PISTONS, kind=one_of("piston", "Piston"), mass=one_of("", "412,5 g", "14.5 oz"), note=st.sampled_from(NOTES)),
                                               again=st.booleans())),
    st.tuples(st.just("part assigned"), said(at=one_of("cylinder 1", "cylinder 2", "cylinder 3"), as_=st.just("piston"), parts=st.lists(PISTONS, max_size=1), swap=st.booleans())),
    st.tuples(st.just("gauge registered"), said(gauge=said(id=one_of("M1", "M9"), resolution=one_of("1 um", "0.0001 in"), due=one_of("", "2027-01-01")), again=st.booleans())),
    st.tuples(st.just("setting made"), said(setting=said(id=one_of("S8", "S9"), gauge=st.just("BG1"), size=one_of("97.25 mm", "3.8287 in"), master=st.just("M1")))),
    st.tuples(st.just("limit set"), said(limit=said(fit=one_of("wall clearance", "top end gap"), at=one_of("", "cylinder 1"), authority=st.just("builder"),
                                                    low=one_of("0.05 mm", "2 thou"), why=st.sampled_from(NOTES)), struck=one_of(False, False, True))),
    st.tuples(st.just("concession"), said(fit=st.just("wall clearance"), at=one_of("cylinder 3", "cylinder 4"), why=st.sampled_from(NOTES[1:]))),
    st.tuples(st.just("judgement"), said(fit=st.just("wall clearance"), at=st.just("cylinder 4"), why=st.sampled_from(NOTES))),
    st.tuples(st.just("step signed"), said(step=st.just("mock-up: parts"), counts=one_of(["37"], ["38"]), note=st.sampled_from(NOTES))),
    st.tuples(st.just("step undone"), said(step=st.just("mock-up: parts"), why=st.sampled_from(NOTES))),
    st.tuples(st.just("photo attached"), said(photo=st.just("0123456789abcdef.jpg"), part=one_of("B1", "P1"))),
    st.tuples(st.just("sheet changed"), st.one_of(
        said(table=st.just("duty"), values=said(boost=one_of("22 psi", "1.5 bar"), oil=one_of("100 °C", "212 °F"))),
        said(table=st.just("rules"), values=said(level=one_of("95 %", "0.9"), units=one_of("metric", "inch"))),
        said(table=st.just("job"), values=said(customer=st.sampled_from(NOTES[1:]))),
    )),
)  # fmt: skip


def semicolons(texts):
    """The readings as another spreadsheet saves them: parted by semicolons, Windows line ends, a mark before them, blank columns left out."""
    problems = []
    form = read_table(
        texts["readings.csv"], "readings.csv", texts["readings.csv"].partition("\n")[0].split(","), (), problems
    )
    rows, read = form
    columns = tuple(name for name in read.columns if any(row.cells[name] for row in rows))
    assert not problems
    assert len(columns) < len(read.columns)
    return {**texts, "readings.csv": "\ufeff" + write_table([row.cells for row in rows], Form(";", "\r\n", columns))}


def no_records(texts):
    """Only the files that every job has, the last line without its end."""
    return {
        name: text.rstrip("\n") if name == "readings.csv" else text
        for name, text in texts.items()
        if name not in ("passes.csv", "record.csv")
    }


def tried(kept, kind, words, by, number):
    """What is said against an act; or the event, and the job after it."""
    try:
        return "", proposed(kept, kind, words, by=by, at=NOON, key=f"k{number}")
    except BlockwrightError as refusal:
        return str(refusal), None


@pytest.fixture(scope="module")
def layouts(harbour):
    texts = dict(harbour)
    return {"as it is": texts, "semicolons": semicolons(texts), "no records": no_records(texts)}


@settings(max_examples=20, suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture])
@given(
    layout=one_of("as it is", "semicolons", "no records"),
    acts=st.lists(st.tuples(ACTS, one_of("Ann B.", "Bo; C.")), min_size=1, max_size=8),
)
def test_the_same_acts_give_the_same_job_and_files_everywhere(layouts, layout, acts):
    texts = layouts[layout]
    first = sealed(
        1, "folder brought in", {"name": "harbour", "texts": texts}, at=NOON, by="Ann B.", key="k1", before=""
    )
    events, kept = [first], fold([first])
    with TemporaryDirectory() as home:
        for name, text in texts.items():
            Path(home, name).write_bytes(text.encode())
        assert texts_of_folder(Path(home)) == texts == kept.texts()
        store = FolderStore(Path(home))
        for number, ((kind, words), by) in enumerate(acts, 2):
            refusal, done = tried(kept, kind, words, by, number)
            if done is None:
                with pytest.raises(BlockwrightError) as on_disk:
                    store.keep(kind, words, by=by, at=NOON, key=f"k{number}")
                assert str(on_disk.value) == refusal
                continue
            event, after = done
            assert store.keep(kind, words, by=by, at=NOON, key=f"k{number}").body == event.body
            events.append(event)
            kept = after
            assert read_texts("harbour", kept.texts()).job == kept.job
        assert texts_of_folder(Path(home)) == kept.texts()
    assert check_chain(events) == ()
    assert fold(events) == kept
    half = len(events) // 2
    if half:
        assert fold(events[half:], fold(events[:half])) == kept
    assert [event_from(event_line(event)) for event in events] == events
    assert start("harbour", kept.texts()).texts() == kept.texts()
