"""`blockwright route`: photos that are kept, looks at fits without a limit, and the whole state as JSON."""

import csv
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from blockwright.jobfile.folder import read_folder

JPEG = b"\xff\xd8\xff\xe0 no real picture, and nobody opens it"
BY = ("--by", "R. Quill")
OWN = """
[[step]]
key = "mine: first look"
name = "First look"
do = ["Look at the crank."]
before = ["mock-up: parts"]
evidence = [
    {proof = "fit", what = "turning torque rise", at = "stage main 2"},
    {proof = "photo", what = "the crank"},
]
"""
RISE = "turning torque rise, stage main 2"


@pytest.fixture
def own(harbour: Path) -> Path:
    """The demonstration with a step of the builder's own at its very beginning, and a photo beside it."""
    sheet = harbour / "job.toml"
    sheet.write_text(sheet.read_text(encoding="utf-8") + OWN, encoding="utf-8")
    (harbour.parent / "crank.jpg").write_bytes(JPEG)
    return harbour


def state(give: Callable, job: Path) -> dict:
    done = give("route", "show", job, "--json")
    assert done.err == ""
    return json.loads(done.out) | {"code": done.code}


def step(told: dict, key: str) -> dict:
    [found] = [each for each in told["steps"] if each["key"] == key]
    return found


def sign(give: Callable, job: Path, *more: object):
    return give("route", "sign", job, "first look", *BY, *more)


def whole(job: Path) -> tuple[object, ...]:
    return "--look", f"{RISE}: as its neighbours", "--photo", job.parent / "crank.jpg"


def test_everything_missing_is_told_at_once_and_nothing_is_kept(give: Callable, own: Path) -> None:
    done = sign(give, own, "--photo", "nowhere.jpg")
    assert done.code == 2
    said = " ".join(done.err.split())
    assert "photo 'nowhere.jpg': there is no such file" in said
    assert f"--look '{RISE}: your reason'" in said
    assert not (own / "attachments").exists()
    assert not (own / "route.csv").exists()
    blank = sign(give, own, "--look", RISE)
    assert blank.code == 2
    assert "why it may stay so" in " ".join(blank.err.split())


def test_a_photo_and_a_look_are_kept_with_the_signature(give: Callable, own: Path) -> None:
    done = sign(give, own, *whole(own))
    assert (done.code, done.err) == (0, "")
    [kept] = (own / "attachments").iterdir()
    assert kept.read_bytes() == JPEG
    with (own / "route.csv").open(newline="", encoding="utf-8") as file:
        [row] = csv.DictReader(file)
    assert row["photos"] == f"{kept.name} from crank.jpg"
    assert row["looks"] == f"{RISE}: as its neighbours"
    shown = " ".join(give("route", "step", own, "first look").out.split())
    assert "no limit given; looked at and accepted by R. Quill: as its neighbours" in shown
    assert read_folder(own).job.signings[0].given.looks[0].why == "as its neighbours"


@pytest.mark.parametrize(("spoil", "words"), [(None, "is missing"), (b"other", "was altered")])
def test_a_photo_that_was_lost_is_noticed_and_one_put_back_is_good(give: Callable, own: Path, spoil, words) -> None:
    sign(give, own, *whole(own))
    [kept] = (own / "attachments").iterdir()
    kept.unlink() if spoil is None else kept.write_bytes(spoil)
    shown = give("route", "show", own)
    assert shown.code == 1
    assert words in " ".join(shown.out.split())
    told = state(give, own)
    assert told["code"] == 1
    assert words in told["photos_lost"][0]["words"]
    assert step(told, "mine: first look")["state"] == "now"
    kept.write_bytes(JPEG)
    assert state(give, own)["code"] == 0
    assert step(state(give, own), "mine: first look")["state"] == "done"


def test_the_whole_state_as_json(give: Callable, own: Path) -> None:
    told = state(give, own)
    assert (told["format"], told["invented"], told["code"]) == ("blockwright route 1", True, 0)
    assert told["counts"]["steps"] == len(told["steps"]) == told["counts"]["left"] == len(told["left"])
    assert sum(told["counts"][word] for word in ("done", "now", "waits")) == len(told["steps"])
    keys = [each["key"] for each in told["steps"]]
    for each in told["steps"]:
        assert set(each["needs"]) <= set(keys)
        assert set(each["waits_for"]) <= set(each["needs"])
        assert bool(each["evidence"]) == each["hold_point"]
        assert (each["state"] == "waits") == bool(each["waits_for"])
    mine = step(told, "mine: first look")
    assert [each["code"] for each in mine["missing"]] == ["sign-fit", "sign-photo"]
    fit = mine["evidence"][0]
    assert (fit["standing"], fit["will_do"], fit["unit"]) == ("no limit given", False, "N m")
    sign(give, own, *whole(own))
    after = state(give, own)
    mine = step(after, "mine: first look")
    assert (mine["state"], mine["missing"]) == ("done", [])
    assert mine["signed"]["looks"] == [{"what": RISE, "why": "as its neighbours"}]
    assert mine["evidence"][0]["will_do"]
    assert after["counts"]["done"] == 1


def test_an_own_step_that_asks_for_what_is_not_there(give: Callable, own: Path) -> None:
    sheet = own / "job.toml"
    sheet.write_text(sheet.read_text(encoding="utf-8").replace("stage main 2", "stage main 22"), encoding="utf-8")
    done = give("route", "show", own)
    assert done.code == 2
    said = " ".join(done.err.split())
    assert "has no 'stage main 22' in this engine" in said
    assert "step 1, evidence 1, at" in said
