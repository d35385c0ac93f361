"""The bench killed at random moments while several clients post readings; the bench of one trial's restart carries the load of the next."""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from .clients import Load, send_again
from .judging import Outcome, outcome
from .looking import Looker
from .served import Server

BOOKS_OF_TRIALS = 4
"""Trials that one book goes through: it grows with each, and a book that nobody would ever fill is not what is tried."""
LEAST_S, MOST_S = 0.02, 1.2


def killed(
    server: Server, looker: Looker, *, trials: int, clients: int, seed: int, say: Callable[[str], Any]
) -> Iterator[Outcome]:
    """Outcome after outcome. The moments of killing come from the seed; what happens at them does not."""
    rng = random.Random(seed)
    slugs = looker.open_books(-(-trials // BOOKS_OF_TRIALS))
    words = looker.words(slugs[0])
    server.start()
    held: dict[str, set[str]] = {}
    for trial in range(trials):
        slug = slugs[trial // BOOKS_OF_TRIALS]
        after_s = rng.uniform(LEAST_S, MOST_S)
        done = _one(server, looker, slug, words, clients, f"k{seed}.{trial}", after_s, held.setdefault(slug, set()))
        say(
            f"trial {trial + 1}: killed after {after_s:.3f} s, {done.acknowledged} of {done.sent} acknowledged, back in {done.back_s:.1f} s"
        )
        yield done


def _one(
    server: Server,
    looker: Looker,
    slug: str,
    words: Sequence[dict[str, str]],
    clients: int,
    mark: str,
    after_s: float,
    earlier: set[str],
) -> Outcome:
    load = Load(server.port, slug, words, clients=clients, mark=mark)
    time.sleep(after_s)
    server.kill()
    load.end()
    before = {each.key for each in load.waiting}
    back_s = server.start()
    at_once = looker.look(slug)
    send_again(load)
    looked = looker.look(slug)
    found = outcome("kill", load.sent, before, at_once, looked, back_s, earlier)
    earlier |= {each.key for each in load.sent}
    return found
