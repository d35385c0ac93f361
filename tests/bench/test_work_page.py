"""The page of an engine at work: what is kept is shown, what is not is begun beside the server, and no page ever waits for it."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
import time
import zipfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from blockwright.acts.roles import Role
from blockwright.bench.papers.making import Maker
from blockwright.bench.work import held, running
from blockwright.bench.work.running import NOT_KEPT, WORDLESS, Runner
from blockwright.demos import demo_texts
from blockwright.fits.assessment import Standing
from blockwright.ledger.books import open_book
from blockwright.ledger.models import Book
from blockwright.ledger.store import LedgerStore
from blockwright.running.work.result import Work

from ..report.work_sample import sample_work
from .conftest import Page
from .shop_hands import browser, hire, open_shop, signed_in

WORK = sample_work()
WITHIN_S = 20.0
READ = {"part": "B1", "feature": "bore", "at": "cylinder 1", "spot": "top thrust", "value": "-9", "unit": "um", "gauge": "BG1",
        "setting": "S1", "sitting": "bores 1"}  # fmt: skip
STEPS = """
import json, sys, time, pathlib
asked = json.loads(sys.stdin.readline())
here = pathlib.Path(sys.argv[1])
(here / f"begun-{time.time_ns()}").write_text(json.dumps(sorted(asked)))
print("a line of somebody else", flush=True)
print(json.dumps({"what": "oil films", "share": 0.42}), flush=True)
while not (here / "go").exists():
    time.sleep(0.02)
print((here / "go").read_text(), flush=True)
"""


class Hand:
    """A process that says one step, and ends with whatever it is told when it is let go."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir()
        self.command = (sys.executable, "-c", STEPS, str(folder))

    @property
    def begun(self) -> int:
        return len(list(self.folder.glob("begun-*")))

    def go(self, **said: Any) -> None:
        beside = self.folder / "going"
        beside.write_text(json.dumps(said))
        beside.rename(self.folder / "go")


def until(true: Callable[[], Any]) -> None:
    ends = time.monotonic() + WITHIN_S
    while not true():
        assert time.monotonic() < ends
        time.sleep(0.02)


@pytest.fixture
def hand(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Hand]:
    made = Hand(tmp_path / "hand")
    monkeypatch.setattr(running.runner, "_command", made.command)
    yield made
    if not (made.folder / "go").exists():
        made.go(done=True)
    until(lambda: not any(state.under_way for state in running.runner._states.values()))


@pytest.fixture
def kept(monkeypatch: pytest.MonkeyPatch) -> dict[str, Work]:
    """What is kept, by the number of readings of the job: it changes with each reading."""
    there: dict[str, Work] = {}
    monkeypatch.setattr(held, "kept", lambda job: there.get(mark_of(job)))
    return there


def mark_of(job: Any) -> str:
    return str([(each.id, each.text, each.withdrawn) for each in job.readings])


def keep(kept: dict[str, Work], book: Book, work: Work = WORK) -> None:
    kept[mark_of(LedgerStore(book).kept().job)] = work


def test_nothing_is_worked_out_by_looking(page: Page, hand: Hand, kept: dict[str, Work]) -> None:
    answer = page.get("work/")
    said = answer.content.decode()
    assert answer.status_code == 200
    assert "has not been worked out for these readings" in said
    assert "Work it out" in said
    assert hand.begun == 0
    assert "hx-get" not in said


def test_it_is_begun_watched_and_shown(page: Page, hand: Hand, kept: dict[str, Work]) -> None:
    begun = time.monotonic()
    answer = page.client.post(page.at("work/"))
    assert (answer.status_code, answer["Location"]) == (302, page.at("work/"))
    assert time.monotonic() - begun < 5.0, "nobody waits for it"
    until(lambda: (state := running.runner.state(page.book.pk)) is not None and state.percent == 42)
    said = page.get("work/").content.decode()
    assert "is being worked out" in said
    assert '<noscript><meta http-equiv="refresh" content="3"></noscript>' in said
    assert f'hx-get="{page.at("work/now/")}" hx-trigger="every 2s"' in said
    assert "Work it out" not in said
    part = page.get("work/now/")
    assert part.status_code == 200
    assert "<!doctype" not in part.content.decode().lower()
    assert "42 %" in part.content.decode()
    assert "Oil films" in part.content.decode()
    keep(kept, page.book)
    hand.go(done=True)
    until(lambda: running.runner.state(page.book.pk) is None)
    over = page.get("work/now/")
    assert (over.status_code, over["HX-Refresh"], over.content) == (204, "true", b"")
    shown = page.get("work/").content.decode()
    assert WORK.headline in shown
    assert "hx-get" not in shown
    assert 'http-equiv="refresh"' not in shown


def test_the_result_stands_on_the_page_whole(page: Page, kept: dict[str, Work]) -> None:
    keep(kept, page.book)
    said = page.get("work/").content.decode()
    for fit in WORK.fits:
        assert fit.said in said
        assert f"/fit/{fit.fit.replace(' ', '%20')}/{fit.position.replace(' ', '%20')}/" in said
    for text in (
        *WORK.cautions,
        WORK.better[0].words,
        *(node.words[1:] for node in WORK.nodes),
        *(fact.words[1:] for fact in WORK.facts),
    ):
        assert text.replace("'", "&#x27;") in said, text
    for text in ("bearings under a moving load", "Rod film, cylinder 4", "Is a looser second ring all right here?"):
        assert text.lower() in said.lower()
    assert said.count("<svg") > len(WORK.fits)
    assert "style=" not in said
    ids = [part.split('"')[0] for part in said.split(' id="')[1:]]
    assert len(ids) == len(set(ids)), "each id once"


def test_readings_that_changed_make_it_a_result_of_older_ones(page: Page, kept: dict[str, Work]) -> None:
    keep(kept, page.book)
    before = page.book.head_number
    assert "Readings or facts have changed" not in page.get("work/").content.decode()
    assert page.act("reading taken", READ).status_code in (200, 201)
    said = page.get("work/").content.decode()
    assert f"this is of event {before}, and the engine stands at {before + 1}" in said
    assert WORK.headline in said
    assert "Work it out again" in said
    assert "Of older readings" in said
    keep(kept, page.book, replace(WORK, headline="Anew: all is well."))
    again = page.get("work/").content.decode()
    assert "Anew: all is well." in again
    assert "Readings or facts have changed" not in again


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        ({"problems": ["the job has no firing order. Write it in job.toml."]}, "the job has no firing order. Write it in job.toml."),
        ({}, WORDLESS),
        ({"done": True}, NOT_KEPT),
    ],
    ids=["refused", "wordless", "not kept"],
)  # fmt: skip
def test_what_fails_is_said_and_can_be_tried_again(
    page: Page, hand: Hand, kept: dict[str, Work], said: dict[str, Any], shown: str
) -> None:
    page.client.post(page.at("work/"))
    until(lambda: hand.begun)
    hand.go(**said)
    until(lambda: (state := running.runner.state(page.book.pk)) is not None and not state.under_way)
    told = page.get("work/").content.decode()
    assert "It could not be worked out." in told
    assert shown in told
    assert "Work it out" in told
    assert page.get("work/now/")["HX-Refresh"] == "true"
    keep(kept, page.book)
    page.client.post(page.at("work/"))
    until(lambda: hand.begun == 2)


def test_one_at_a_time_for_an_engine(page: Page, hand: Hand, kept: dict[str, Work]) -> None:
    for _ in range(4):
        assert page.client.post(page.at("work/")).status_code == 302
    until(lambda: hand.begun)
    time.sleep(0.3)
    assert hand.begun == 1


def test_engines_take_turns(page: Page, hand: Hand, kept: dict[str, Work], transactional_db: None) -> None:
    other = open_book(demo_texts("hillclimb"), "A. Hand", name="hillclimb")
    page.client.post(page.at("work/"))
    until(lambda: hand.begun)
    page.client.post(f"/e/{other.slug}/work/")
    said = page.client.get(f"/e/{other.slug}/work/").content.decode()
    assert "Waits until another engine is done" in said
    assert hand.begun == 1
    hand.go(done=True)
    until(lambda: hand.begun == 2)


def test_a_reading_waits_for_nothing_meanwhile(page: Page, hand: Hand, kept: dict[str, Work]) -> None:
    page.client.post(page.at("work/"))
    until(lambda: hand.begun)
    assert page.act("reading taken", READ).status_code in (200, 201)
    assert page.get("").status_code == 200


def test_who_may_look_and_who_may_have_it_worked_out(settings: Any, harbour: Book, kept: dict[str, Work]) -> None:
    open_shop(settings)
    at = f"/e/{harbour.slug}/work/"
    viewer, measurer = (signed_in(hire(str(role), book=harbour, role=role)) for role in (Role.VIEWER, Role.MEASURER))
    assert viewer.post(at).status_code == 403
    said = viewer.get(at).content.decode()
    assert "<form" not in said.partition("<main")[2]
    assert "your seat is for viewers" in said
    assert "Work it out" in measurer.get(at).content.decode()
    assert measurer.post(at).status_code == 302
    assert browser().get(at).status_code == 302


def test_a_form_from_elsewhere_begins_nothing(harbour: Book, kept: dict[str, Work]) -> None:
    strict = Client(enforce_csrf_checks=True)
    assert strict.post(f"/e/{harbour.slug}/work/").status_code == 403
    assert running.runner.state(harbour.pk) is None


def test_what_is_out_opens_the_page(page: Page, kept: dict[str, Work]) -> None:
    bad = replace(WORK.fits[0], standing=str(Standing.NONCONFORMING), said="outside computed bound")
    keep(kept, page.book, replace(WORK, fits=(bad, *WORK.fits[1:])))
    assert '<section class="say out">' in page.get("work/").content.decode()


def test_a_fits_page_has_its_part_at_work(page: Page, kept: dict[str, Work]) -> None:
    at = "fit/top end gap/cylinder 2/"
    before = page.get(at).content.decode()
    assert "Not worked out for the readings as they stand." in before
    assert page.at("work/") in before
    assert "Not worked out" not in page.get("fit/bore taper/cylinder 2/").content.decode()
    keep(kept, page.book)
    after = page.get(at).content.decode()
    assert "Gap of the top ring, hot" in after
    assert "undecided, computed bound" in after
    assert "Not worked out" not in after


def test_papers_have_it_as_soon_as_it_is_there(
    page: Page, kept: dict[str, Work], monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was made before it was worked out is not handed out after."""
    monkeypatch.setattr("blockwright.bench.views.papers.maker", Maker(120.0))

    def names() -> set[str]:
        return set(zipfile.ZipFile(io.BytesIO(page.get("papers/tables/").content)).namelist())

    before = names()
    keep(kept, page.book)
    assert names() - before == {"at-work.csv", "bearings-at-work.csv"}
    assert page.act("reading taken", READ).status_code in (200, 201)
    assert names() == before


def test_the_process_ends_with_the_server(tmp_path: Path, harbour: Book) -> None:
    made = Hand(tmp_path / "hand")
    own = Runner(made.command)
    own.begin(harbour.pk, LedgerStore(harbour).kept())
    until(lambda: made.begun)
    (process,) = own._processes
    own.end()
    assert process.poll() is not None
    until(lambda: not own._processes)
    own.begin(harbour.pk, LedgerStore(harbour).kept())
    until(lambda: (state := own.state(harbour.pk)) is not None and not state.under_way)
    assert made.begun == 1, "nothing is begun any more"


HAND = (sys.executable, "-m", "blockwright.bench.work.hand")


def asked(texts: dict[str, str], samples: int = 0) -> str:
    return json.dumps({"name": "harbour", "texts": texts, "samples": samples, "seed": 1}) + "\n"


def said_by_the_hand(texts: dict[str, str], words: Mapping[str, str], code: int) -> list[dict[str, Any]]:
    """All that it says; its input stays open until then."""
    with subprocess.Popen(HAND, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=dict(words)) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdin.write(asked(texts))
        process.stdin.flush()
        said = [json.loads(line) for line in process.stdout]
        assert process.wait(10) == code
    return said


def test_the_hand_says_what_is_wrong_with_a_job(tmp_path: Path) -> None:
    texts = {**demo_texts("harbour"), "job.toml": "format = 3"}
    (last,) = said_by_the_hand(texts, os.environ, 2)
    assert last["problems"]


def test_the_hand_ends_when_its_master_is_gone(tmp_path: Path) -> None:
    """Its input is closed while it works: it ends at once, and does not go on for a server that is no more."""
    code = "import time; import blockwright.bench.work.hand as hand; hand._work_out = lambda asked: time.sleep(60); hand.main()"
    with subprocess.Popen(
        (sys.executable, "-c", code), stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdin is not None
        process.stdin.write(asked({}))
        process.stdin.flush()
        time.sleep(0.5)
        assert process.poll() is None
        process.stdin.close()
        assert process.wait(10) == 1


@pytest.mark.slow
def test_the_hand_works_an_engine_out_and_keeps_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The true calculation, without draws, in a process of its own; what it keeps is what a page finds."""
    from platformdirs import user_cache_path

    from blockwright.jobfile.folder import read_texts
    from blockwright.running.work import kept as kept_module

    compiled = user_cache_path("blockwright", appauthor=False) / "compiled"
    words = {**os.environ, "XDG_CACHE_HOME": str(tmp_path), "NUMBA_CACHE_DIR": str(compiled)}
    texts = dict(demo_texts("harbour"))
    said = said_by_the_hand(texts, words, 0)
    assert said[-1] == {"done": True}
    shares = [each["share"] for each in said[:-1]]
    assert shares == sorted(shares)
    assert len(shares) > 3
    monkeypatch.setattr(kept_module, "_folder", lambda: tmp_path / "blockwright" / "work")
    found = kept_module.kept(read_texts("job", texts).job)
    assert found is not None
    assert found.samples == 0
