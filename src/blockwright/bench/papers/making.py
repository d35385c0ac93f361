"""Papers made by a hand of their own, one at a time, so that no reading waits for a sheet; what was made is kept until the book goes on.

Whoever asks waits for as long as a tap takes to be believed; after that he is told that it is being made, and asks again.
"""

from __future__ import annotations

from collections import OrderedDict
from concurrent.futures import Future, ThreadPoolExecutor
from concurrent.futures import TimeoutError as NotYet
from dataclasses import dataclass
from threading import Lock

from blockwright.bench.papers.catalogue import Paper
from blockwright.bench.papers.source import Source

PATIENCE_S = 0.9
"""How long an asker waits before he is told that it is being made."""
MOST_KEPT = 24
MOST_KEPT_BYTES = 64 * 1024 * 1024


@dataclass(frozen=True)
class Mark:
    """Which paper of which book at which event; `worked` marks the result of the engine at work that stands on it."""

    book_id: int
    digest: str
    key: str
    size: str
    worked: str = ""


class Maker:
    """Makes papers on a thread of its own, the same one once however many ask."""

    def __init__(self, patience_s: float = PATIENCE_S) -> None:
        self.patience_s = patience_s
        self._pool = ThreadPoolExecutor(1, thread_name_prefix="papers")
        self._held: OrderedDict[Mark, Future[bytes]] = OrderedDict()
        self._lock = Lock()

    def asked(self, paper: Paper, source: Source, size: str) -> bytes | None:
        """The paper; None where it is still being made. Raises BlockwrightError where it cannot be made."""
        mark = Mark(source.book_id, source.seen.kept.digest, paper.key, size, source.worked if paper.at_work else "")
        with self._lock:
            future = self._held.get(mark)
            if future is None:
                future = self._held[mark] = self._pool.submit(paper.make, source, size)
            self._held.move_to_end(mark)
            self._let_go()
        try:
            return future.result(timeout=self.patience_s)
        except NotYet:
            return None
        except BaseException:
            self._drop(mark)
            raise

    def forget(self) -> None:
        """Keep nothing, for tests."""
        with self._lock:
            self._held.clear()

    def _drop(self, mark: Mark) -> None:
        with self._lock:
            self._held.pop(mark, None)

    def _let_go(self) -> None:
        """The oldest that are made, once there are many or they are large."""
        while len(self._held) > 1 and (len(self._held) > MOST_KEPT or self._bytes() > MOST_KEPT_BYTES):
            oldest = next((mark for mark, future in self._held.items() if future.done()), None)
            if oldest is None or oldest == next(reversed(self._held)):
                return
            del self._held[oldest]

    def _bytes(self) -> int:
        done = (future for future in self._held.values() if future.done() and future.exception() is None)
        return sum(len(future.result()) for future in done)


maker = Maker()
