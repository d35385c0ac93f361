"""Clients that take one reading a second each at a real bench, and what a page weighs in a real browser."""

from __future__ import annotations

import shutil
import sys
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

TOOLS = str(Path(__file__).resolve().parents[1] / "tools")
if TOOLS not in sys.path:
    sys.path.append(TOOLS)

from trials.clients import Door, Sent  # type: ignore[import-not-found]  # noqa: E402
from trials.looking import Looker  # type: ignore[import-not-found]  # noqa: E402
from trials.served import Server, clean_environment  # type: ignore[import-not-found]  # noqa: E402

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
ARGUMENTS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip
EVERY_S = 1.0
MOST_SENDS, AGAIN_S = 10, 0.5


@dataclass(frozen=True)
class Trip:
    """A round of readings: how long each took (s) until it was kept, how many were first told to come again, and what went wrong with any."""

    clients: int
    took_s: tuple[float, ...]
    late: int
    put_off: int
    lost: tuple[str, ...]

    def at(self, share: float) -> float:
        """The time (s) that so great a share of the readings took at most."""
        ordered = sorted(self.took_s)
        return ordered[min(len(ordered) - 1, max(0, -(-int(share * 1000) * len(ordered) // 1000) - 1))]


@contextmanager
def a_bench(home: Path, database: str = "") -> Iterator[tuple[Server, Looker]]:
    """A running bench and what looks into its ledger."""
    server, looker = Server(home, database), Looker(home, database, clean_environment())
    try:
        looker.ask(do="open", count=0)
        server.start()
        yield server, looker
    finally:
        server.stop()
        looker.close()


def round_trips(server: Server, looker: Looker, clients: int, seconds: float) -> Trip:
    """So many clients, each with a reading due every second; their seconds begin spread over the first. A book of its own."""
    slug = looker.open_books(1)[0]
    words = looker.words(slug)
    with closing(Door(server.port, slug)) as door:
        door.send(warm := Sent("warming-up.0", words[0]))
    sent: list[list[Sent]] = [[] for _ in range(clients)]
    late = [0] * clients
    begin = time.monotonic() + 0.2

    def client(own: int) -> None:
        door, count = Door(server.port, slug), int(seconds / EVERY_S)
        for number in range(count):
            due = begin + (own / clients + number) * EVERY_S
            behind = time.monotonic() - due
            late[own] += behind > EVERY_S / 2
            time.sleep(max(0.0, -behind))
            reading = Sent(
                key := f"trip.{clients}.{own}.{number:04d}", {**words[(own * 37 + number) % len(words)], "note": key}
            )
            sent[own].append(reading)
            _until_kept(door, reading)
        door.close()

    threads = [threading.Thread(target=client, args=(own,)) for own in range(clients)]
    for each in threads:
        each.start()
    for each in threads:
        each.join(seconds + 120.0)
    readings = [each for of in sent for each in of]
    lost = (*_missing(looker, slug, readings), *(() if warm.acknowledged else ("warming up",)))
    put_off = sum(len(each.answers) > 1 for each in readings)
    return Trip(
        clients, tuple(sum(answer.took_s for answer in each.answers) for each in readings), sum(late), put_off, lost
    )


def _until_kept(door: Door, reading: Sent) -> None:
    """Send a reading as a tablet does: where it is told "busy, come again", with the same key again."""
    for _ in range(MOST_SENDS):
        if door.send(reading).kept:
            return
        time.sleep(AGAIN_S)


def _missing(looker: Looker, slug: str, readings: Sequence[Sent]) -> list[str]:
    """Readings that were not acknowledged, or are not there exactly once; and what is wrong with the book."""
    looked = looker.look(slug)
    there = {key for key, rows in looked.events.items() if len(rows) == 1 and rows[0].readings == 1}
    return [*(each.key for each in readings if each.acknowledged is None or each.key not in there), *looked.problems]


@dataclass(frozen=True)
class Weight:
    """One page as a browser loads it first, and again with what it keeps. Bytes as sent and unpacked; times in seconds from the start of loading."""

    page: str
    requests: int
    sent_bytes: int
    whole_bytes: int
    packed: bool
    answered_s: float
    painted_s: float
    again_bytes: int
    again_painted_s: float


ENTRIES = """() => {
  const [page] = performance.getEntriesByType("navigation");
  const parts = performance.getEntriesByType("resource");
  const paint = performance.getEntriesByName("first-contentful-paint")[0];
  const sum = (name) => [page, ...parts].reduce((total, each) => total + each[name], 0);
  return { requests: 1 + parts.length, sent: sum("transferSize"), whole: sum("decodedBodySize"), packed: page.encodedBodySize < page.decodedBodySize,
           answered: page.responseStart, painted: paint ? paint.startTime : NaN };
}"""


def page_weights(server: Server, slug: str, pages: Sequence[tuple[str, str]]) -> Iterator[Weight]:
    """Each page (its name and its address within the engine), in a browser that knows nothing yet and then once more."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        for name, rest in pages:
            context = browser.new_context(viewport={"width": 820, "height": 1180}, service_workers="block")
            address = f"http://127.0.0.1:{server.port}/e/{slug}/{rest}"
            first, again = (_load(context, address) for _ in range(2))
            yield Weight(
                name, first["requests"], first["sent"], first["whole"], first["packed"], first["answered"] / 1e3,
                first["painted"] / 1e3, again["sent"], again["painted"] / 1e3,
            )  # fmt: skip
            context.close()
        browser.close()


def _load(context: Any, address: str) -> dict[str, Any]:
    page = context.new_page()
    answer = page.goto(address, wait_until="load")
    assert answer.status == 200, f"{address}: {answer.status}"
    page.wait_for_function('performance.getEntriesByName("first-contentful-paint").length > 0', timeout=10_000)
    found: dict[str, Any] = page.evaluate(ENTRIES)
    page.close()
    return found
