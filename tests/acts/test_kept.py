"""Events folded into a job, the files that it makes, and a chain that shows when a row of it was altered, dropped or exchanged."""

import json
from dataclasses import replace

import pytest

from blockwright.acts.event import canonical, check_chain, event_from, event_line, sealed
from blockwright.acts.kept import EVENTS_FILE, events_of_folder, fold, start
from blockwright.acts.kinds import KINDS
from blockwright.acts.roles import Role
from blockwright.acts.store import FolderStore
from blockwright.jobfile.folder import read_folder, read_texts, texts_of_folder
from blockwright.jobfile.write import folder_texts
from blockwright.problems import BlockwrightError

MARK = "\ufeff"


@pytest.fixture
def some(bench):
    """Three acts on the job that was brought in."""
    bench.act("reading taken", row="r901", value="-4", state="plate on")
    bench.act("reading withdrawn", row="r1", why="slip")
    bench.act("wheel put on", wheel="W9")
    return bench


def test_every_kind_is_declared_whole():
    for name, kind in KINDS.items():
        assert (kind.name, kind.doc.endswith("."), kind.role in Role) == (name, True, True)
        assert len({word.name for word in kind.words}) == len(kind.words)
        assert all(word.doc for word in kind.words)


def test_a_chain_that_is_whole(some):
    assert check_chain(some.events) == ()
    assert fold(some.events) == some.kept
    assert some.kept.number == 4


def told(events):
    return [problem.what for problem in check_chain(events)]


def test_an_altered_row_is_found(some):
    for at, event in enumerate(some.events):
        for other in ({"by": "Zoe"}, {"key": "x"}, {"kind": "pass filed"}, {"body": {**event.body, "row": "r2"}}):
            altered = [*some.events[:at], replace(event, **other), *some.events[at + 1 :]]
            assert any("it was altered after it was recorded" in what for what in told(altered))


def test_an_altered_row_that_was_sealed_anew_is_found(some):
    event = some.events[1]
    forged = sealed(2, event.kind, event.body, at=event.at, by="Zoe", key=event.key, before=event.before)
    assert told([some.events[0], forged, *some.events[2:]]) == [
        "event 3 (reading withdrawn): it does not follow the event before it: one was altered, put in or taken out."
    ]


def test_a_dropped_row_is_found(some):
    for at in range(len(some.events) - 1):
        left = [*some.events[:at], *some.events[at + 1 :]]
        assert told(left)
        with pytest.raises(BlockwrightError):
            fold(left)


def test_exchanged_rows_are_found(some):
    for at in range(len(some.events) - 1):
        swapped = [*some.events[:at], some.events[at + 1], some.events[at], *some.events[at + 2 :]]
        assert told(swapped)
        with pytest.raises(BlockwrightError):
            fold(swapped)


def test_events_lie_beside_the_files_one_a_line(some):
    text = "".join(event_line(event) + "\n" for event in some.events)
    assert events_of_folder({EVENTS_FILE: text}) == tuple(some.events)
    assert events_of_folder({"job.toml": ""}) == ()
    broken = text.replace('"why":"slip"', '"why":"skip"')
    with pytest.raises(BlockwrightError, match="it was altered after it was recorded"):
        events_of_folder({EVENTS_FILE: broken})
    with pytest.raises(BlockwrightError, match="a line of the events cannot be read"):
        event_from(json.dumps({"number": 1}))


def test_an_event_says_the_same_on_any_machine():
    assert canonical({"b": "ü", "a": [1, True]}) == '{"a":[1,true],"b":"ü"}'
    with pytest.raises(ValueError, match="JSON"):
        canonical({"a": float("nan")})


def test_a_job_begins_with_a_folder(some):
    with pytest.raises(BlockwrightError, match="there is no event"):
        fold([])
    first = sealed(1, "wheel put on", {"wheel": "W"}, at=some.events[0].at, by="", key="k", before="")
    with pytest.raises(BlockwrightError, match="no folder was brought in"):
        fold([first])


def test_a_kind_of_a_later_version_is_not_guessed(some):
    later = sealed(5, "engine sung to", {}, at=some.events[0].at, by="", key="k9", before=some.kept.digest)
    with pytest.raises(BlockwrightError, match="which this version does not know"):
        fold([later], some.kept)


def test_a_folder_brought_in_again_is_the_job_from_then_on(some):
    texts = {**some.kept.texts(), "job.toml": some.kept.texts()["job.toml"].replace("Quay", "Pier", 1)}
    some.act("folder brought in", name="harbour", texts=texts)
    assert some.job.sheet.customer.startswith("Pier")
    assert some.kept.texts() == texts
    assert some.refused("folder brought in", name="x", texts={"job.toml": "format = 3"})[0].startswith(
        "job.toml, line 1, format: "
    )
    assert some.refused("folder brought in", name="x", texts={"notes.txt": ""})[0].startswith(
        "texts: 'notes.txt' is no file of a job."
    )


def test_no_word_of_the_reader_is_another_from_texts(bench, tmp_path):
    """The disk and texts at hand are read in one way: the same problems, in the same order."""
    texts = bench.kept.texts()
    spoilt = {
        **texts,
        "job.toml": texts["job.toml"].replace("stroke = ", "strok = "),
        "readings.csv": texts["readings.csv"].replace("BG1", "BG7", 3),
    }
    for name, text in spoilt.items():
        (tmp_path / name).write_bytes(text.encode())
    with pytest.raises(BlockwrightError) as disk:
        read_folder(tmp_path)
    with pytest.raises(BlockwrightError) as at_hand:
        read_texts("x", spoilt)
    assert disk.value.problems == at_hand.value.problems
    with pytest.raises(BlockwrightError, match=r"there is no file gauges\.toml"):
        read_texts("x", {name: text for name, text in texts.items() if name != "gauges.toml"})


def test_a_byte_order_mark_comes_out_again(bench, tmp_path):
    texts = {
        name: MARK + text if name in ("readings.csv", "job.toml") else text for name, text in bench.kept.texts().items()
    }
    assert start("x", texts).texts() == texts
    bench.begin(texts).act("reading taken", row="r901", value="-4")
    bench.act("sheet changed", table="job", values={"customer": "Quay 2"})
    out = bench.kept.texts()
    assert [name for name, text in out.items() if text.startswith(MARK)] == ["job.toml", "readings.csv"]
    assert all(MARK not in text[1:] for text in out.values())
    for name, text in out.items():
        (tmp_path / name).write_bytes(text.encode())
    assert texts_of_folder(tmp_path) == out
    assert read_folder(tmp_path).job == bench.job


def test_a_folder_store_does_an_act_once(bench, tmp_path):
    for name, text in bench.kept.texts().items():
        (tmp_path / name).write_bytes(text.encode())
    store = FolderStore(tmp_path)
    at = bench.events[0].at
    first = store.keep("reading taken", {"row": "r901", "value": "-4"}, by="Ann B.", at=at, key="a")
    assert store.keep("reading taken", {"row": "r901", "value": "-4"}, by="Ann B.", at=at, key="a") is first
    second = store.keep("reading taken", {"row": "r902", "value": "-4"}, by="Ann B.", at=at, key="b")
    assert (first.number, second.number, second.before) == (1, 2, first.digest)
    assert len(store.kept().job.readings) == len(bench.job.readings)
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    with pytest.raises(BlockwrightError):
        store.keep("reading taken", {"row": "r903", "value": "?"}, by="Ann B.", at=at, key="c")
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before
    assert folder_texts(store.kept().job, store.kept().base) == {name: data.decode() for name, data in before.items()}
