"""The page about the API: each command on it is sent, and what is answered is what it shows. And the page to try it, in a real browser."""

import json
import os
import re
import shlex
import shutil
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from django.test import Client

from blockwright.acts.roles import Role
from blockwright.bench import state
from blockwright.bench.api.refusing import SORTS
from blockwright.bench.papers.catalogue import BY_KEY
from blockwright.demos import demo_texts
from blockwright.ledger.books import open_book
from blockwright.ledger.models import Book

from .shop_hands import browser, hire
from .test_api import zipped
from .test_api_shop import bearer, looks, open_api
from .test_photos import PNG

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "api.md").read_text(encoding="utf-8")
STEP = re.compile(r"^```sh\n(?P<command>.*?)^```\n(?:\n```json\n(?P<answer>.*?)^```)?", re.MULTILINE | re.DOTALL)
ANY = "…"


class Sent(NamedTuple):
    """A command as it is sent."""

    address: str
    headers: dict[str, str]
    data: str | None
    file: str | None


def sent_by(command: str, words: dict[str, str]) -> Sent:
    """What a curl command sends. Anything else than what stands on the page is refused here, too."""
    for name, value in words.items():
        command = command.replace(f"${name}", value)
    program, address, *rest = shlex.split(command.replace("\\\n", " "))
    assert program == "curl"
    headers: dict[str, str] = {}
    data = file = None
    for option, value in zip(rest[::2], rest[1::2], strict=True):
        if option == "-H":
            name, _, text = value.partition(": ")
            headers[name] = text
        elif option == "-d":
            data = value
        elif option == "--data-binary":
            file = value.removeprefix("@")
        else:
            assert option == "-o", option
    return Sent(address, headers, data, file)


def shown_is_in(shown: Any, told: Any) -> bool:
    """Whether what is shown is a part of what is told."""
    if shown in (ANY, [ANY]):
        return bool(told)
    if isinstance(shown, dict):
        return isinstance(told, dict) and all(
            name in told and shown_is_in(value, told[name]) for name, value in shown.items()
        )
    if isinstance(shown, list):
        return isinstance(told, list) and len(shown) == len(told) and all(map(shown_is_in, shown, told))
    return bool(shown == told)


def ask(client: Client, sent: Sent, files: dict[str, bytes]) -> Any:
    kind = sent.headers.pop("Content-Type", "")
    if sent.data is None and sent.file is None:
        return client.get(sent.address, headers=sent.headers)
    body = files[sent.file] if sent.file else (sent.data or "").encode()
    return client.post(sent.address, body, content_type=kind, headers=sent.headers)


def test_every_command_answers_what_the_page_shows(settings: Any, transactional_db: None) -> None:
    open_api(settings)
    state.forget()
    texts = demo_texts("harbour")
    book = open_book(texts, "A. Hand", name="harbour")
    words = {"BENCH": "", "ENGINE": book.slug, "TOKEN": bearer(hire(book=book, role=Role.BUILDER))}
    files = {"skirt.png": PNG, "job.zip": zipped({name: text.encode() for name, text in texts.items()})}
    steps = list(STEP.finditer(PAGE))
    assert len(steps) == PAGE.count("curl ") == 8
    for step in steps:
        answer = ask(browser(), sent_by(step["command"], words), files)
        if step["answer"] is None:
            assert answer.status_code == 200, step["command"]
            continue
        shown = json.loads(step["answer"])
        assert shown_is_in(shown, json.loads(answer.content)), (step["command"], answer.content)
    assert Book.objects.count() == 2


@pytest.mark.parametrize(
    ("shown", "told", "same"),
    [
        ({"a": 1}, {"a": 1, "b": 2}, True),
        ({"a": 1}, {"a": 2}, False),
        ({"a": 1}, {"b": 1}, False),
        ([{"a": ANY}], [{"a": "x"}], True),
        ([{"a": 1}], [{"a": 1}, {"a": 1}], False),
        ({"a": [ANY]}, {"a": []}, False),
    ],
)
def test_a_difference_is_seen(shown: Any, told: Any, same: bool) -> None:
    assert shown_is_in(shown, told) is same


def test_every_address_status_and_paper_stands_on_the_page() -> None:
    assert [at for at in looks() if at.replace("/engines/{engine}", "").lstrip("/") not in PAGE] == ["/problems/{name}"]
    assert [
        status for status in SORTS if not re.search(rf"^\| [\d, ]*\b{status}\b[\d, ]* \|", PAGE, re.MULTILINE)
    ] == []
    assert [key for key in BY_KEY if f"`{key}`" not in PAGE] == []


CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


@pytest.mark.slow
@pytest.mark.browser
@pytest.mark.skipif(CHROMIUM is None, reason="no chromium here")
def test_the_page_to_try_it_breaks_no_rule_and_asks_nobody_else(
    harbour: Book, live_server: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Drawn under the bench's strict policy; a request tried there is answered."""
    from playwright.sync_api import sync_playwright

    monkeypatch.setitem(os.environ, "DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    faults: list[str] = []
    asked: list[str] = []
    with sync_playwright() as playing:
        opened = playing.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu", "--disable-quic"]
        )
        page = opened.new_page()
        page.on("console", lambda said: faults.append(said.text) if said.type in ("error", "warning") else None)
        page.on("pageerror", lambda fault: faults.append(str(fault)))
        page.on("request", lambda request: asked.append(request.url))
        page.goto(f"{live_server.url}/api/v1/docs")
        page.wait_for_selector(".opblock")
        page.click("#operations-engines-engines")
        page.click("text=Try it out")
        page.click("button.execute")
        page.wait_for_selector(".live-responses-table")
        assert harbour.slug in page.inner_text(".live-responses-table")
        opened.close()
    assert faults == []
    assert [url for url in asked if not url.startswith((live_server.url, "data:", "blob:"))] == []
