"""Clients that post readings to the one door over real sockets, each with a key of its own, and note every answer."""

from __future__ import annotations

import http.client
import json
import secrets
import threading
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from .served import HOST

KEPT = 201
PATIENCE_S = 40.0
"""Longer than the ledger waits for another writer, so that its own answer is heard."""
TOKEN = secrets.token_hex(16)


@dataclass(frozen=True)
class Answer:
    """What came back; status 0: nothing did. `well_told`: 503, as problem+json, with what is wrong and a mend."""

    status: int
    took_s: float
    number: int = 0
    digest: str = ""
    well_told: bool = False
    said: str = ""

    @property
    def kept(self) -> bool:
        return self.status == KEPT


@dataclass
class Sent:
    """One reading, every answer that its sender had, and when the last came."""

    key: str
    words: Mapping[str, str]
    answers: list[Answer] = field(default_factory=list)

    @property
    def acknowledged(self) -> Answer | None:
        return next((each for each in self.answers if each.kept), None)


class Door:
    """One client's way to the acts of a book; its connection stays open."""

    def __init__(self, port: int, slug: str, patience_s: float = PATIENCE_S) -> None:
        self.port, self.slug, self.patience_s = port, slug, patience_s
        self._line: http.client.HTTPConnection | None = None

    def send(self, sent: Sent) -> Answer:
        """Post a reading once and note the answer."""
        body = json.dumps({"kind": "reading taken", "words": dict(sent.words), "key": sent.key})
        begun = time.perf_counter()
        try:
            status, kind, told = self._post(body)
        except (OSError, http.client.HTTPException) as fault:
            self.close()
            answer = Answer(0, time.perf_counter() - begun, said=type(fault).__name__)
        else:
            answer = answer_of(status, kind, told, time.perf_counter() - begun)
        sent.answers.append(answer)
        return answer

    def _post(self, body: str) -> tuple[int, str, bytes]:
        if self._line is None:
            self._line = http.client.HTTPConnection(HOST, self.port, timeout=self.patience_s)
        headers = {
            "Content-Type": "application/json", "Accept": "application/json", "X-CSRFToken": TOKEN, "Cookie": f"bw_csrf={TOKEN}",
        }  # fmt: skip
        self._line.request("POST", f"/e/{self.slug}/acts/", body, headers)
        answer = self._line.getresponse()
        return answer.status, answer.headers.get_content_type(), answer.read()

    def close(self) -> None:
        if self._line is not None:
            self._line.close()
            self._line = None


def answer_of(status: int, kind: str, told: bytes, took_s: float) -> Answer:
    """The answer, read as a page reads it."""
    try:
        found: Any = json.loads(told)
    except ValueError:
        found = {}
    if not isinstance(found, dict):
        found = {}
    if status == KEPT:
        return Answer(status, took_s, int(found["number"]), str(found["digest"]))
    problems = found.get("problems") or []
    mended = bool(problems) and all(each.get("what") and each.get("mend") for each in problems)
    well = status == http.client.SERVICE_UNAVAILABLE and kind == "application/problem+json" and mended
    said = (
        "; ".join(str(each.get("what", "")) for each in problems)
        or str(found.get("detail", ""))
        or told[:200].decode(errors="replace")
    )
    return Answer(status, took_s, well_told=well, said=said)


class Load:
    """Several clients at once. Each sends the next reading when the one before is kept, and until then the same again."""

    def __init__(
        self,
        port: int,
        slug: str,
        words: Sequence[Mapping[str, str]],
        *,
        clients: int,
        mark: str,
        pause_s: float = 0.02,
    ) -> None:
        self.port, self.slug, self.words, self.mark, self.pause_s = port, slug, words, mark, pause_s
        self.sent: list[Sent] = []
        self._stop, self._go, self._lock = threading.Event(), threading.Event(), threading.Lock()
        self._go.set()
        self._threads = [
            threading.Thread(target=self._client, args=(number,), daemon=True) for number in range(clients)
        ]
        for each in self._threads:
            each.start()

    def hold(self) -> None:
        """Let the clients pause between two readings."""
        self._go.clear()

    def go_on(self) -> None:
        self._go.set()

    def end(self) -> None:
        """No further reading; back when every client has had its answer."""
        self._stop.set()
        self._go.set()
        for each in self._threads:
            each.join(PATIENCE_S + 5.0)
            if each.is_alive():
                raise RuntimeError("a client had no answer within its patience")

    def count(self, kept: bool) -> int:
        """Answers so far that say kept, or that do not."""
        return sum(answer.kept is kept for each in tuple(self.sent) for answer in tuple(each.answers))

    @property
    def waiting(self) -> list[Sent]:
        """What nobody acknowledged."""
        return [each for each in self.sent if each.acknowledged is None]

    def _client(self, client: int) -> None:
        door, count = Door(self.port, self.slug), 0
        while not self._stop.is_set():
            sent = self._next(client, count)
            while not self._stop.is_set():
                self._go.wait(PATIENCE_S)
                if door.send(sent).kept:
                    break
                self._stop.wait(0.1)
            count += 1
            self._stop.wait(self.pause_s)
        door.close()

    def _next(self, client: int, count: int) -> Sent:
        key = f"{self.mark}.{client}.{count:05d}"
        chosen = self.words[(client * 37 + count) % len(self.words)]
        sent = Sent(key, {**chosen, "note": key})
        with self._lock:
            self.sent.append(sent)
        return sent


def send_again(load: Load, within_s: float = 60.0) -> float:
    """Send what waits until each is kept, or the time is over; the seconds it took."""
    begun, door = time.monotonic(), Door(load.port, load.slug)
    for sent in load.waiting:
        while not door.send(sent).kept and time.monotonic() - begun < within_s:
            time.sleep(0.1)
    door.close()
    return time.monotonic() - begun
