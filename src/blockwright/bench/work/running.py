"""One calculation an engine, beside the server: begun, watched, and ended with it. Engines take turns, so that the bench stays quick."""

from __future__ import annotations

import atexit
import json
import subprocess
import sys
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from threading import Lock, Semaphore, Thread
from typing import Any

from blockwright.acts.kept import Kept
from blockwright.bench.work import held
from blockwright.running.work import SAMPLES, SEED

HAND = (sys.executable, "-m", "blockwright.bench.work.hand")
AT_ONCE = 1
WAITS = "waits until another engine is done"
WORDLESS = "The calculation ended without a word. Try again; if it ends so again, please report it."
NOT_KEPT = "It was worked out and could not be kept. Is the disk full?"
END_WITHIN_S = 5.0


@dataclass(frozen=True)
class State:
    """How far a calculation is: under way, with what is being done and the share that is done; or failed, and why."""

    number: int
    what: str = WAITS
    share: float = 0.0
    failed: tuple[str, ...] = ()

    @property
    def under_way(self) -> bool:
        """Whether it still runs, or waits for its turn."""
        return not self.failed

    @property
    def percent(self) -> int:
        """How much is done."""
        return round(100.0 * min(max(self.share, 0.0), 1.0))


class Runner:
    """The calculations of all books; `command` starts the process that does one."""

    def __init__(self, command: Sequence[str] = HAND, at_once: int = AT_ONCE) -> None:
        self._command = tuple(command)
        self._turn = Semaphore(at_once)
        self._lock = Lock()
        self._states: dict[int, State] = {}
        self._processes: set[subprocess.Popen[str]] = set()
        self._ended = False

    def begin(self, book_id: int, now: Kept) -> State:
        """Begin for a book as it stands; what is under way there already goes on."""
        with self._lock:
            state = self._states.get(book_id)
            if state is not None and state.under_way:
                return state
            state = self._states[book_id] = State(now.number)
        Thread(target=self._turned, args=(book_id, now), name=f"work-{book_id}", daemon=True).start()
        return state

    def state(self, book_id: int) -> State | None:
        """How far it is at a book; None where nothing is under way and nothing has failed."""
        with self._lock:
            return self._states.get(book_id)

    def end(self) -> None:
        """End all that is under way."""
        with self._lock:
            self._ended = True
            left = tuple(self._processes)
        for process in left:
            with suppress(OSError):
                process.kill()
            with suppress(subprocess.TimeoutExpired):
                process.wait(END_WITHIN_S)

    def forget(self) -> None:
        """Know of no failure any more, for tests; what is under way goes on."""
        with self._lock:
            self._states = {book_id: state for book_id, state in self._states.items() if state.under_way}

    def _turned(self, book_id: int, now: Kept) -> None:
        failed: tuple[str, ...] = (WORDLESS,)
        try:
            with self._turn:
                failed = self._worked(book_id, now)
        except OSError:
            failed = (WORDLESS,)
        finally:
            self._over(book_id, failed)

    def _worked(self, book_id: int, now: Kept) -> tuple[str, ...]:
        """Do it; why it failed, or nothing."""
        process = self._started()
        if process is None:
            return (WORDLESS,)
        try:
            said = self._heard(book_id, process, now)
        finally:
            self._gone(process)
        if problems := said.get("problems"):
            return tuple(map(str, problems))
        if not said.get("done"):
            return (WORDLESS,)
        return () if held.remember(book_id, now) else (NOT_KEPT,)

    def _started(self) -> subprocess.Popen[str] | None:
        with self._lock:
            if self._ended:
                return None
            process = subprocess.Popen(
                self._command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                text=True,
                encoding="utf-8",
            )
            self._processes.add(process)
        return process

    def _heard(self, book_id: int, process: subprocess.Popen[str], now: Kept) -> dict[str, Any]:
        """Ask, and listen until it has no more to say; its last words. Its input stays open, since it ends with that."""
        assert process.stdin is not None and process.stdout is not None
        asked = {"name": now.base.path.name or "job", "texts": now.texts(), "samples": SAMPLES, "seed": SEED}
        with suppress(BrokenPipeError):
            process.stdin.write(json.dumps(asked) + "\n")
            process.stdin.flush()
        said: dict[str, Any] = {}
        for line in process.stdout:
            said = _told(line) or said
            if "share" in said:
                self._step(book_id, str(said.get("what", "")), float(said["share"]))
        return said

    def _gone(self, process: subprocess.Popen[str]) -> None:
        with suppress(OSError):
            process.kill()
        process.wait()
        for stream in (process.stdin, process.stdout):
            if stream is not None:
                with suppress(OSError):
                    stream.close()
        with self._lock:
            self._processes.discard(process)

    def _step(self, book_id: int, what: str, share: float) -> None:
        with self._lock:
            self._states[book_id] = replace(self._states[book_id], what=what, share=share)

    def _over(self, book_id: int, failed: tuple[str, ...]) -> None:
        with self._lock:
            state = self._states.pop(book_id)
            if failed:
                self._states[book_id] = replace(state, failed=failed)


def _told(line: str) -> dict[str, Any]:
    """A line of the process; nothing where it is none of its words."""
    try:
        told = json.loads(line)
    except ValueError:
        return {}
    return told if isinstance(told, dict) else {}


runner = Runner()
atexit.register(runner.end)
