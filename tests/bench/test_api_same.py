"""The API says of a job what the command line says of its folder."""

import json
from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from blockwright.bench import state
from blockwright.cli import main as command
from blockwright.demos import NAMES, demo_texts
from blockwright.ledger.books import open_book
from blockwright.ledger.models import Book

ROOT = "/api/v1/engines"


@pytest.fixture(params=NAMES)
def both(request: Any, tmp_path: Path, transactional_db: None) -> tuple[Book, Path]:
    """An invented job as a book and as a folder."""
    texts = demo_texts(request.param)
    folder = tmp_path / request.param
    folder.mkdir()
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8", newline="")
    state.forget()
    return open_book(texts, "A. Hand", name=request.param), folder


def printed(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, *words: str) -> Any:
    """The JSON that a command prints."""
    monkeypatch.setattr("sys.argv", ["blockwright", *words])
    with pytest.raises(SystemExit):
        command.main()
    return json.loads(capsys.readouterr().out)


def test_the_assessment(both: tuple[Book, Path], client: Client, capsys: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    book, folder = both
    told = client.get(f"{ROOT}/{book.slug}/assessment").json()
    assert told == printed(capsys, monkeypatch, "fits", str(folder), "--json")
    assert client.get(f"{ROOT}/{book.slug}/papers/json").json() == told


def test_every_story(both: tuple[Book, Path], client: Client, capsys: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of each fit, at the first of its positions: the rest differ by nothing but the place."""
    book, folder = both
    fits = client.get(f"{ROOT}/{book.slug}/assessment").json()["fits"]
    firsts = {each["fit"]: each["at"] for each in reversed(fits)}
    assert len(firsts) > 20
    for fit, at in list(firsts.items())[::3]:
        told = client.get(f"{ROOT}/{book.slug}/fits/{fit}/{at}").json()
        assert told == printed(capsys, monkeypatch, "explain", str(folder), fit, at, "--json"), (fit, at)


def test_the_route(both: tuple[Book, Path], client: Client, capsys: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """All of it; but what time it is, from which what is left of a clock is counted."""
    book, folder = both
    told, shown = (
        client.get(f"{ROOT}/{book.slug}/route").json(),
        printed(capsys, monkeypatch, "route", "show", str(folder), "--json"),
    )
    assert timeless(told) == timeless(shown)


def timeless(told: dict[str, Any]) -> dict[str, Any]:
    """What the state of a route says besides the time."""
    clocks = [{name: value for name, value in clock.items() if name != "left_s"} for clock in told["clocks"]]
    return {**{name: value for name, value in told.items() if name != "at"}, "clocks": clocks}
