"""A real bench and a real browser: the server that ships, in a process of its own with a data folder of its own, and chromium."""

from __future__ import annotations

import csv
import io
import json
import os
import shutil
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from blockwright.choices.stations import stations
from blockwright.demos import demo_texts
from blockwright.jobfile.folder import read_texts
from blockwright.running.work.kept import as_plain, digest_of
from blockwright.running.work.result import Work

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
ARGUMENTS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip
PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}
TABLET = {"viewport": {"width": 820, "height": 1180}, "has_touch": True, "is_mobile": True}
LAPTOP = {"viewport": {"width": 1440, "height": 900}}
SERVE = """
import sys
from pathlib import Path
from blockwright.ledger.start import start
start(Path(sys.argv[1]))
from blockwright.bench.server import Listening, serve
serve(Listening(port=int(sys.argv[2])))
"""
WITHIN_S = 30.0


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker("slow")
            item.add_marker("browser")
            if CHROMIUM is None:
                item.add_marker(pytest.mark.skip(reason="no chromium here"))


@dataclass(frozen=True)
class Act:
    """One event as it stands in the ledger's file."""

    number: int
    kind: str
    by: str
    key: str
    body: dict[str, Any]


class Bench:
    """The bench as a shop runs it; it can be killed and started again at the same port."""

    def __init__(self, data: Path) -> None:
        self.data = data
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.process: subprocess.Popen[bytes] | None = None

    @property
    def address(self) -> str:
        return f"http://localhost:{self.port}"

    def start(self) -> None:
        environment = {
            key: value for key, value in os.environ.items() if not key.startswith(("BLOCKWRIGHT_", "DJANGO_"))
        } | {"XDG_CACHE_HOME": str(self.cache)}
        command = [sys.executable, "-c", SERVE, str(self.data), str(self.port)]
        self.process = subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        until = time.monotonic() + WITHIN_S
        while time.monotonic() < until:
            try:
                with urllib.request.urlopen(f"{self.address}/healthz", timeout=1):
                    return
            except OSError:
                time.sleep(0.05)
        raise TimeoutError("the bench does not answer")

    @property
    def cache(self) -> Path:
        """Where this bench keeps what was worked out: what the machine keeps is not the tests'."""
        return self.data.parent / f"{self.data.name}-cache"

    def keep(self, texts: dict[str, str], work: Work) -> None:
        """Let this be kept as what was worked out for a job of these files."""
        folder = self.cache / "blockwright" / "work"
        folder.mkdir(parents=True, exist_ok=True)
        digest = digest_of(read_texts("job", texts).job)
        told = json.dumps(as_plain(replace(work, digest=digest)))
        (folder / f"{digest}.json").write_text(told, encoding="utf-8")

    def kill(self) -> None:
        """End it as a power cut would."""
        if self.process is None:
            return
        self.process.kill()
        self.process.wait()
        self.process = None
        until = time.monotonic() + WITHIN_S
        while time.monotonic() < until:  # its worker follows it
            try:
                socket.create_connection(("127.0.0.1", self.port), timeout=0.2).close()
            except OSError:
                return
            time.sleep(0.05)

    def bring_in(self, texts: dict[str, str], folder: Path) -> str:
        """A new book of these files; its slug."""
        folder.mkdir(parents=True)
        for name, text in texts.items():
            (folder / name).write_text(text, encoding="utf-8")
        code = "import sys; from blockwright.cli.main import main; sys.argv[0] = 'blockwright'; main()"
        command = [sys.executable, "-c", code, "ledger", "import", str(folder), "--data", str(self.data)]
        environment = {
            key: value for key, value in os.environ.items() if not key.startswith(("BLOCKWRIGHT_", "DJANGO_"))
        }
        subprocess.run(command, env=environment, check=True, capture_output=True)
        with sqlite3.connect(self.data / "ledger.sqlite3") as ledger:
            return str(ledger.execute("select slug from ledger_book order by id desc").fetchone()[0])

    def acts(self, slug: str) -> list[Act]:
        """Every event of a book but the first, in order."""
        asked = "select e.number, e.kind, e.by, e.key, e.body from {table} e join ledger_book b on b.id = e.book_id where b.slug = ? order by e.number"
        with sqlite3.connect(self.data / "ledger.sqlite3") as ledger:
            names = [
                row[0]
                for row in ledger.execute(
                    "select name from sqlite_master where name like 'ledger_event%' and type = 'table'"
                )
            ]
            rows = ledger.execute(asked.format(table=names[0]), (slug,)).fetchall()
        return [
            Act(number, kind, by, key, json.loads(body))
            for number, kind, by, key, body in rows
            if kind != "folder brought in"
        ]

    def values(self, slug: str) -> list[tuple[str, str]]:
        """(row, value) of every reading taken, in the order of the ledger."""
        return [(act.body["row"], act.body["cells"]["value"]) for act in self.acts(slug) if act.kind == "reading taken"]


def emptied(
    name: str, keep: Callable[[int, dict[str, str]], bool] = lambda index, row: False, *, cold: bool = False
) -> dict[str, str]:
    """A demonstration job whose rows are to be read again but for those that `keep` wants; `cold`: without any temperature."""
    texts = {
        file: text for file, text in demo_texts(name).items() if file in ("job.toml", "gauges.toml", "readings.csv")
    }
    rows = list(csv.DictReader(io.StringIO(texts["readings.csv"])))
    for index, row in enumerate(rows):
        if not keep(index, row):
            row.update(dict.fromkeys(("value", "by", "when", "withdrawn", "note"), ""))
            if cold:
                row.update(dict.fromkeys(("part_temp", "gauge_temp", "bore_temp"), ""))
    written = io.StringIO()
    writer = csv.DictWriter(written, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return {**texts, "readings.csv": written.getvalue()}


def readings_of(name: str) -> list[dict[str, str]]:
    """The rows of a demonstration job."""
    return list(csv.DictReader(io.StringIO(demo_texts(name)["readings.csv"])))


def in_order(name: str) -> list[dict[str, str]]:
    """The rows of a demonstration job in the order in which they are measured."""
    order = [
        row.id for each in stations(read_texts(name, demo_texts(name)).job) for spot in each.spots for row in spot.rows
    ]
    return sorted(readings_of(name), key=lambda row: order.index(row["id"]))


@pytest.fixture(scope="session")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    """One bench for all tests that leave it running."""
    served = Bench(tmp_path_factory.mktemp("bench"))
    served.start()
    yield served
    served.kill()


@pytest.fixture
def own_bench(tmp_path: Path) -> Iterator[Bench]:
    """A bench of the test's own, to be killed."""
    served = Bench(tmp_path / "data")
    served.start()
    yield served
    served.kill()


@pytest.fixture
def new_book(bench: Bench, tmp_path: Path) -> Callable[..., str]:
    """Brings a job in: `new_book(texts)` is the slug of a fresh book."""
    count = iter(range(1000))
    return lambda texts: bench.bring_in(texts, tmp_path / f"job-{next(count)}" / "job")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, once for all tests."""
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield opened
        opened.close()


@pytest.fixture
def context(browser: Browser) -> Iterator[Callable[..., BrowserContext]]:
    """Opens contexts, each a browser of its own, and closes them.

    Movement is held down: a colour in the middle of its change is not the page's colour.
    """
    opened: list[BrowserContext] = []

    def open_one(**words: Any) -> BrowserContext:
        made = browser.new_context(**({"reduced_motion": "reduce"} | (words or LAPTOP)))
        made.set_default_timeout(10_000)
        opened.append(made)
        return made

    yield open_one
    for each in opened:
        each.close()


@dataclass
class Faults:
    """What a page complained of."""

    said: list[str]


def watched(page: Page) -> Faults:
    """Errors of the page's own scripts and refusals of its security policy, not of the network."""
    faults = Faults([])
    page.on("pageerror", lambda error: faults.said.append(str(error)))
    page.on(
        "console",
        lambda message: (
            faults.said.append(message.text)
            if message.type == "error" and "Failed to load" not in message.text and "ERR_" not in message.text
            else None
        ),
    )
    return faults
