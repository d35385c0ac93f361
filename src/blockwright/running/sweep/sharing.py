"""The work of a study shared out: in this process, to processes of this machine, or to the workers of a scheduler by its address.

Duties' cycles come first, block by block, and the parts that need them as soon as they are there; so many tasks are given out that nobody waits.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.util import find_spec
from typing import Any

from blockwright.problems import BlockwrightError, Place, Problem
from blockwright.running.processes import pool
from blockwright.running.sweep.cases import Case, Duty
from blockwright.running.sweep.columns import EXTRA
from blockwright.running.sweep.duties import Outcome, states
from blockwright.running.sweep.ground import Ground
from blockwright.running.sweep.plan import Part
from blockwright.running.sweep.rows import Row
from blockwright.running.sweep.working import rows_of

MOST_PROCESSES = 64
ANSWER_S = 10.0
"""How long a scheduler may take to answer."""


@dataclass(frozen=True)
class Hands:
    """Who works: `give` hands out a task, `many` says how many can be at work at once."""

    give: Callable[..., Future[Any]]
    many: int


def shared(
    ground: Ground, listed: Sequence[Case], parts: Iterable[Part], hands: Hands, *, rings: bool
) -> Iterator[tuple[Part, list[Row]]]:
    """The rows of parts, each as soon as it is done.

    Raises
    ------
    BlockwrightError
        Where a process ended before its time.
    """
    waiting = _by_block(parts)
    blocks, ready = deque(sorted(waiting)), deque[tuple[Part, Mapping[Duty, Outcome]]]()
    flying: dict[Future[Any], Part | int] = {}
    try:
        while blocks or ready or flying:
            while (blocks or ready) and len(flying) < 2 * hands.many:
                if ready:
                    part, known = ready.popleft()
                    own = listed[part.first : part.end]
                    flying[
                        hands.give(rows_of, ground, own, {case.duty: known[case.duty] for case in own}, rings=rings)
                    ] = part
                else:
                    block = blocks.popleft()
                    flying[hands.give(states, ground, _firsts(listed, waiting[block]))] = block
            for future in wait(flying, return_when=FIRST_COMPLETED).done:
                what = flying.pop(future)
                if isinstance(what, Part):
                    yield what, future.result()
                else:
                    firsts = _firsts(listed, waiting[what])
                    known = {case.duty: state for case, state in zip(firsts, future.result(), strict=True)}
                    ready.extend((part, known) for part in waiting[what])
    except BrokenProcessPool:
        ended = "a process that worked at it ended before its time: out of memory, or ended by hand."
        raise BlockwrightError(
            Problem("sweep-process", ended, "Try fewer: --processes 1.", Place(field="processes"))
        ) from None
    finally:
        for future in flying:
            future.cancel()


def _by_block(parts: Iterable[Part]) -> dict[int, list[Part]]:
    found: dict[int, list[Part]] = {}
    for part in parts:
        found.setdefault(part.block, []).append(part)
    return found


def _firsts(listed: Sequence[Case], parts: Sequence[Part]) -> list[Case]:
    """A case of each duty of some parts."""
    found: dict[Duty, Case] = {}
    for part in parts:
        for case in listed[part.first : part.end]:
            found.setdefault(case.duty, case)
    return list(found.values())


@contextmanager
def hands(processes: int = 1, scheduler: str = "") -> Iterator[Hands]:
    """Whoever is to work: this process where `processes` is 1, so many others, or a scheduler's workers.

    Raises
    ------
    BlockwrightError
        For a scheduler that does not answer or has no workers, or without the extra that it needs.
    """
    if scheduler:
        with _far(scheduler) as found:
            yield found
    elif processes <= 1:
        yield Hands(_here, 1)
    else:
        here = pool(processes)
        try:
            yield Hands(here.submit, processes)
        finally:
            here.shutdown(wait=False, cancel_futures=True)


def _here(work: Callable[..., Any], *words: Any, **named: Any) -> Future[Any]:
    """A task done at once."""
    future: Future[Any] = Future()
    future.set_result(work(*words, **named))
    return future


@contextmanager
def _far(address: str) -> Iterator[Hands]:
    if find_spec("distributed") is None:
        what = "a scheduler cannot be used: a part of the program that is not always installed is missing."
        raise _scheduler(what, f"Install blockwright[{EXTRA}], or share the work out here: --processes 4.")
    from distributed import Client

    try:
        client = Client(address, timeout=ANSWER_S, set_as_default=False)
    except (OSError, ValueError, TypeError) as fault:
        raise _scheduler(
            f"no scheduler answers at {address}.", "Write it as its own start says it: tcp://HOST:8786."
        ) from fault
    try:
        many = sum(client.nthreads().values())
        if not many:
            raise _scheduler(
                f"the scheduler at {address} has no workers.", "Start workers first, with blockwright installed."
            )
        yield Hands(client.get_executor(pure=False).submit, many)
    finally:
        client.close()


def _scheduler(what: str, mend: str) -> BlockwrightError:
    return BlockwrightError(Problem("sweep-scheduler", what, mend, Place(field="scheduler")))
