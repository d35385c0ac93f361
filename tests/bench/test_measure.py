"""The measuring page as the bench gives it: what is in it, what is fetched again, the worker, and the plan it rests on."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from django.contrib.staticfiles import finders

from blockwright.acts.kept import start
from blockwright.bench.measure.here import spot_in_hand
from blockwright.bench.measure.kept_files import kept_files, mark_of_files
from blockwright.bench.measure.plan import measure_plan, sketches
from blockwright.bench.measure.words import spot_words
from blockwright.choices.stations import MOST_SPOTS, station_of, stations
from blockwright.demos import demo_texts
from blockwright.engine.job import Job

from .conftest import Page

HARBOUR = start("harbour", demo_texts("harbour")).job
SIX = start("hillclimb", demo_texts("hillclimb")).job


def known(page: Page, rest: str = "measure/") -> dict[str, Any]:
    text = page.get(rest).content.decode()
    found = re.search(r'<script id="known" type="application/json">(.*?)</script>', text, re.DOTALL)
    assert found is not None
    told: dict[str, Any] = json.loads(found[1])
    return told


def test_the_page_holds_every_row_of_the_job_once(page: Page) -> None:
    told = known(page)["plan"]
    rows = [each["row"] for station in told["stations"] for spot in station["spots"] for each in spot["readings"]]
    assert sorted(rows) == sorted(row.id for row in HARBOUR.readings)
    assert all(len(station["spots"]) <= MOST_SPOTS for station in told["stations"])


def test_it_opens_where_it_is_asked_to(page: Page) -> None:
    assert known(page, "measure/r15/")["at"] == "r15"
    assert known(page, "measure/P3/")["at"] == "r29", "a part"
    assert known(page, "measure/pin%20bore/")["at"] == "r33", "a feature"
    assert known(page, "measure/nowhere/")["at"] == known(page)["at"]


def test_a_waiting_spot_goes_before_one_that_was_read(page: Page) -> None:
    page.act("reading withdrawn", {"row": "r20", "why": "gauge slipped"})
    told = known(page)
    assert told["at"] == "r20"
    spot = next(spot for station in told["plan"]["stations"] for spot in station["spots"] if spot["key"] == "r20")
    assert spot["empty"] == []
    assert [(each["row"], each["why"]) for each in spot["readings"]] == [("r20", "gauge slipped")]


def test_the_plan_follows_the_book(page: Page) -> None:
    before = page.get("measure-plan/").json()
    answer = page.act("reading taken", {"part": "B1", "feature": "bore", "at": "cylinder 1", "spot": "top thrust", "value": "-9", "unit": "um",
                                        "gauge": "BG1", "setting": "S1", "sitting": "bores 1"}).json()  # fmt: skip
    after = page.get("measure-plan/").json()
    assert after["plan"]["number"] == before["plan"]["number"] + 1 == answer["number"]
    assert [each["said"] for each in after["plan"]["stations"][0]["spots"][0]["readings"]] == ["-8 µm", "-9 µm"]
    assert after["hand"] == "bench"
    assert len(after["csrf"]) == 64


def test_twice_at_once_is_told(page: Page) -> None:
    page.act("reading taken", {"row": "r1", "value": "-9"})
    spot = page.get("measure-plan/").json()["plan"]["stations"][0]["spots"][0]
    assert [each["twice"] for each in spot["readings"]] == [False, True]


def test_nothing_of_the_page_is_inline(page: Page) -> None:
    text = page.get("measure/").content.decode()
    assert not re.search(r'\sstyle="', text)
    assert not re.search(r"\son[a-z]+=", text)
    scripts = re.findall(r"<script([^>]*)>", text)
    assert all("src=" in words or 'type="application/json"' in words for words in scripts)


def test_the_words_of_a_spot() -> None:
    found = stations(HARBOUR)
    said = {
        key: spot_words(pair[1], pair[0]) for key in ("r15", "r16", "r25", "r33") if (pair := station_of(found, key))
    }
    assert said == {
        "r15": "Bore, cylinder 3: middle, along the thrust axis",
        "r16": "Bore, cylinder 3: middle, along the crank",
        "r25": "Skirt, P1",
        "r33": "Pin bore, P1: front boss",
    }


@pytest.mark.parametrize("job", [HARBOUR, SIX], ids=["harbour", "hillclimb"])
def test_no_two_spots_of_a_station_are_called_the_same(job: Job) -> None:
    for station in measure_plan(job, 1).stations:
        assert len({spot.label for spot in station.spots}) == len(station.spots), station.name
        assert len({spot.words for spot in station.spots}) == len(station.spots), station.name


@pytest.mark.parametrize("job", [HARBOUR, SIX], ids=["harbour", "hillclimb"])
def test_every_spot_has_its_sketch(job: Job) -> None:
    drawn = sketches(job)
    assert {spot.sketch for station in measure_plan(job, 1).stations for spot in station.spots} == set(drawn)
    assert all(svg.startswith("<svg") and '#1d4f91"' not in svg for svg in drawn.values()), "in the inks of the page"


def test_what_is_asked_follows_the_gauge() -> None:
    plan = measure_plan(HARBOUR, 1)
    asked = {spot.feature: spot.asked for station in plan.stations for spot in station.spots}
    assert asked["bore"] == "deviation from 97.250 mm (setting S1)"
    assert asked["top gap"] == "the blade that goes, and the next that does not"
    assert asked["skirt"] == "size, as the gauge shows it"
    assert {gauge.id for gauge in plan.gauges if gauge.backwards} == {"BG1"}


def test_a_comparator_does_not_ask_for_its_own_temperature() -> None:
    temps = {spot.feature: spot.temps for station in measure_plan(HARBOUR, 1).stations for spot in station.spots}
    assert temps["bore"] == ("part_temp",)
    assert temps["skirt"] == ("part_temp", "gauge_temp")
    assert temps["top gap"] == ("part_temp", "bore_temp")
    assert temps["rod side"] == ()


def test_nothing_wanted_is_the_next_that_waits_or_the_first() -> None:
    found = stations(HARBOUR)
    assert spot_in_hand(found, "") == found[0].spots[0]
    assert spot_in_hand((), "r1") is None


def test_the_worker_keeps_every_file_that_there_is(client: Any, db: None) -> None:
    answer = client.get("/sw.js")
    assert answer["Service-Worker-Allowed"] == "/"
    assert answer["Content-Type"].startswith("text/javascript")
    assert answer["Cache-Control"] == "no-cache"
    text = answer.content.decode()
    assert mark_of_files() in text
    assert "FILES_MARK" not in text
    listed = re.findall(r'^  "(/static/[^"]+)",$', text, re.MULTILINE)
    assert tuple(listed) == kept_files()
    assert "/static/bench/js/measure.js" in listed
    assert all(finders.find(address.removeprefix("/static/")) for address in listed)


def test_every_module_that_the_page_loads_is_kept() -> None:
    scripts = Path(str(finders.find("bench/js/measure.js"))).parent
    wanted, seen = ["measure.js"], set()
    while wanted:
        name = wanted.pop()
        seen.add(name)
        found = re.findall(r'from "\./([\w.]+)"', (scripts / name).read_text("utf-8"))
        wanted += [each for each in found if each not in seen]
    assert {f"/static/bench/js/{name}" for name in seen} <= set(kept_files())


def test_the_manifest_names_pictures_that_there_are(client: Any) -> None:
    manifest = json.loads(Path(str(finders.find("bench/app.webmanifest"))).read_text("utf-8"))
    assert manifest["scope"] == "/"
    assert {"192x192", "512x512"} <= {icon["sizes"] for icon in manifest["icons"]}
    for icon in manifest["icons"]:
        assert finders.find(f"bench/{icon['src']}"), icon["src"]
    assert any(icon.get("purpose") == "maskable" for icon in manifest["icons"])
