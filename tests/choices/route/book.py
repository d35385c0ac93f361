"""The test's own book of what was signed, and what follows from it by the rules of the shop alone.

Nothing here asks the program's graph, evidence or folding. A step is done while its last entry is a signature; what it asks for was there and is
what it was; everything before it is done and was signed before it; and a sealant was caught open.
"""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cache

from blockwright.engine.steps import Given, Look, StepChange
from blockwright.fits.assessment import Standing

from .shop import HOLDS, KEYS, NEEDED, OPEN_TIME_S, SHUTS, START, Asked, At, World, asked, fit_now, parts_at, rests_on

QUILL = ("R. Quill", "r. quill", " R.  QUILL ")
MARSH = ("L. Marsh", "l. MARSH")
NOTHING = Given()


def person(name: str) -> str:
    """Whose name it is, however it is written; nothing for a blank."""
    return "Quill" if name in QUILL else "Marsh" if name in MARSH else name.strip()


@dataclass(frozen=True)
class Seen:
    """What a step used at one moment: parts, what was said of them, and the value and readings of each fit."""

    parts: frozenset[tuple[str, bool]]
    fits: dict[At, tuple[float | None, frozenset[tuple[str, bool]]]]


@dataclass(frozen=True)
class Entry:
    """One row of the book; `seen` is missing where a row was written by hand without it."""

    key: str
    signed: bool
    by: str
    when: dt.datetime
    given: Given = NOTHING
    why: str = ""
    seen: Seen | None = None


def seen_now(world: World, key: str) -> Seen:
    """What a step uses as the world is."""
    fits = {}
    for at in asked(world, key).fits:
        found = fit_now(world, at).found
        fits[at] = (found.estimate.value if found else None, rests_on(world, at))
    return Seen(frozenset((mark, mark in world.replaced) for mark in parts_at(world, key)), fits)


def fit_does(world: World, at: At) -> bool:
    """Whether a fit may be signed over: proven inside, or accepted by somebody."""
    result = fit_now(world, at)
    return result.standing is Standing.CONFORMS or result.record is not None


def look_at(at: At) -> Look:
    """A look that accepts a fit, as it must be written."""
    return Look(f"{at[0]}, {at[1]}", "as its neighbours")


def looked_at(world: World, at: At, given: Given) -> bool:
    """Whether a fit that was read, and that nobody limits, was looked at and accepted with a reason."""
    return fit_now(world, at).standing is Standing.UNLIMITED and look_at(at) in given.looks


def wrong_fits(world: World, key: str, given: Given) -> list[str]:
    """Codes of fits that will not do, and of looks that accept nothing."""
    fits = asked(world, key).fits
    useful = [look_at(at) for at in fits if looked_at(world, at, given)]
    codes = ["sign-fit" for at in fits if not fit_does(world, at) and not looked_at(world, at, given)]
    return [*codes, *("sign-look" for look in given.looks if look not in useful)]


def wrong_numbers(wanted: Sequence[int | None], told: Sequence[int]) -> int:
    """How many of the numbers that a step asks for are not told, or not what they must be; one more where too many are told."""
    wrong = 0
    for place, number in enumerate(wanted):
        here = told[place] if place < len(told) else -1
        wrong += here < 0 or number not in (None, here)
    return wrong + (len(told) > len(wanted))


def missing_proofs(what: Asked, given: Given, by: str) -> list[str]:
    """Codes of what was not counted, photographed, marked or looked at as it must be."""
    missing = ["sign-count"] * (wrong_numbers(what.counts, given.counts) + wrong_numbers(what.paint, given.paint))
    named = [photo for photo in given.photos[: what.photos] if photo.strip()]
    missing += ["sign-photo"] * (what.photos - len(named))
    if what.eyes and (not person(given.eyes) or person(given.eyes) == person(by)):
        missing.append("sign-eyes")
    return missing


@dataclass
class Book:
    """Everything that was signed, in order, and what the world is now."""

    world: World = field(default_factory=World)
    entries: list[Entry] = field(default_factory=list)
    _found: tuple[World, list[Entry], frozenset[str]] | None = field(default=None, init=False)

    def struck(self) -> set[str]:
        """Steps that the builder left out."""
        return {change.key for change in self.world.changes if change.struck}

    def route(self) -> set[str]:
        """Every step of the route as it was changed."""
        return ({*KEYS} | {change.key for change in self.world.changes if change.name}) - self.struck()

    def needs(self, key: str) -> frozenset[str]:
        """What a step waits for: through a step that was struck, what that one waited for."""
        return all_needs(self.world.changes)[key]

    def waiting(self) -> dict[str, frozenset[str]]:
        """What every step of the route waits for."""
        return {key: self.needs(key) for key in self.route()}

    def before(self, key: str) -> set[str]:
        """Everything that must come before a step, through any number of others."""
        found: set[str] = set()
        ahead = list(self.needs(key))
        while ahead:
            each = ahead.pop()
            if each not in found:
                found.add(each)
                ahead += self.needs(each)
        return found

    def last(self, key: str) -> int:
        """Place of the last entry under a step; -1 where there is none."""
        for place in reversed(range(len(self.entries))):
            if self.entries[place].key == key:
                return place
        return -1

    def done(self) -> frozenset[str]:
        """Every step that is done."""
        if self._found is None or self._found[0] is not self.world or self._found[1] != self.entries:
            self._found = (self.world, list(self.entries), frozenset(self._work_through()))
        return self._found[2]

    def now(self) -> set[str]:
        """Every step that waits for nothing but its own signature."""
        done = self.done()
        return {key for key in self.route() - done if self.needs(key) <= done}

    def _work_through(self) -> set[str]:
        """First the steps that wait for nothing, and on from there."""
        found: set[str] = set()
        left = self.route() & {entry.key for entry in self.entries}
        while True:
            more = {key for key in left if self.needs(key) <= found and self._holds(key)}
            if not more:
                return found
            found |= more
            left -= more

    def _holds(self, key: str) -> bool:
        place = self.last(key)
        if place < 0 or not self.entries[place].signed:
            return False
        if any(self.last(other) > place for other in self.needs(key)):
            return False
        return not self.spoilt(key, self.entries[place]) and self.stood_s(key, self.entries[place].when) is None

    def spoilt(self, key: str, entry: Entry) -> list[str]:
        """Words that must be found where it is told what of an entry is no longer so."""
        what = asked(self.world, key)
        words = {"sign-count": "", "sign-photo": "photo of", "sign-eyes": "look"}
        found = [words[code] for code in missing_proofs(what, entry.given, entry.by)]
        found += [f"photo {name} is lost" for name in entry.given.photos if name in self.world.lost]
        now = seen_now(self.world, key)
        then = entry.seen or Seen(frozenset(), {})
        found += [mark for mark, _ in then.parts ^ now.parts]
        for at, (value, readings) in now.fits.items():
            then_value, then_readings = then.fits.get(at, (None, frozenset()))
            if then_value is None:
                found.append(f"does not say what {at[0]}")
                continue
            if not fit_does(self.world, at) and not looked_at(self.world, at, entry.given):
                found.append(f"{at[0]}, {at[1]} was")
            lost = then_readings - readings
            found += [f"{mark} " for mark, _ in lost]
            if value is not None and not lost and abs(value - then_value) > 0.1 * fit_now(self.world, at).estimate.u:
                found.append(f"{at[0]}, {at[1]} was")
        return found

    def sets_at(self) -> dt.datetime | None:
        """When a sealant that is on and not covered yet is no longer open."""
        done = self.done()
        if "final: bead" not in done or "final: sump" not in self.route() - done:
            return None
        return self.entries[self.last("final: bead")].when + dt.timedelta(seconds=OPEN_TIME_S)

    def stood_s(self, key: str, when: dt.datetime) -> float | None:
        """How long a sealant stood that this step had to catch open, where that was too long or not at all."""
        if key != "final: sump" or self.last("final: bead") < 0:
            return None
        stood = (when - self.entries[self.last("final: bead")].when).total_seconds()
        return None if 0.0 <= stood <= OPEN_TIME_S else stood

    def refusals(self, key: str, given: Given, by: str, when: dt.datetime) -> list[str]:
        """Codes of everything for which a signature must be refused; nothing where it must be taken."""
        done = self.done()
        codes = self._refused_to_anybody(by, when)
        if key in done:
            return sorted([*codes, "sign-done"])
        codes += ["sign-waits" for _ in self.needs(key) - done]
        what = asked(self.world, key)
        codes += wrong_fits(self.world, key, given)
        codes += missing_proofs(what, given, by)
        if "final: bead" in done and self.stood_s(key, when) is not None:
            codes.append("sign-late")
        return sorted(codes)

    def undo_refusals(self, key: str, by: str, when: dt.datetime, why: str) -> list[str]:
        """Codes of everything for which undoing must be refused."""
        codes = self._refused_to_anybody(by, when)
        if self.last(key) < 0 or not self.entries[self.last(key)].signed:
            codes.append("undo-unsigned")
        return sorted([*codes, *([] if why.strip() else ["undo-why"])])

    def _refused_to_anybody(self, by: str, when: dt.datetime) -> list[str]:
        codes = [] if person(by) else ["sign-name"]
        late = max((entry.when for entry in self.entries), default=START - dt.timedelta(days=9))
        return [*codes, *(["sign-clock"] if when < late else [])]

    def last_chances(self) -> set[tuple[str, At]]:
        """What has to be measured before a step that can be done now: not what was read and has only no limit."""
        shut = {(key, at) for key in self.now() for at in SHUTS.get(key, ()) if not fit_does(self.world, at)}
        return {(key, at) for key, at in shut if fit_now(self.world, at).standing is not Standing.UNLIMITED}


@cache
def all_needs(changes: tuple[StepChange, ...]) -> dict[str, frozenset[str]]:
    """What each step waits for where the builder's changes are made: past a step that he struck, for what that one waited for."""
    arrows, struck = all_arrows(changes), {change.key for change in changes if change.struck}
    while any(needs & struck for needs in arrows.values()):
        for key in struck:
            arrows = {
                other: (needs - {key}) | arrows[key] if key in needs else needs for other, needs in arrows.items()
            }
    return {key: frozenset(needs) for key, needs in arrows.items()}


def all_arrows(changes: Sequence[StepChange]) -> dict[str, set[str]]:
    """What each step waits for by itself, with the builder's changes; steps that he struck are still there."""
    arrows = {key: set(needs) for key, needs in NEEDED.items()}
    for change in changes:
        if not change.struck:
            arrows.setdefault(change.key, set()).update(change.after)
            for other in change.before:
                arrows.setdefault(other, set()).add(change.key)
    return arrows


def cannot_be(changes: Sequence[StepChange]) -> bool:
    """Whether any of the builder's changes must be refused."""
    return any(_senseless(changes)) or _in_a_circle(all_arrows(changes))


def _senseless(changes: Sequence[StepChange]) -> Iterator[bool]:
    own = {change.key for change in changes if change.name}
    struck: set[str] = set()
    for place, change in enumerate(changes):
        yield any(other.key == change.key for other in changes[:place])
        yield bool(change.name) == (change.key in KEYS)
        yield bool(change.evidence) and change.key in KEYS
        yield any(other not in {*KEYS, *own} for other in (*change.after, *change.before))
        if change.struck:
            yield change.key in HOLDS or bool(change.after or change.before) or not (change.by and change.why)
            yield change.key == "final: bead" and "final: sump" not in struck
            struck.add(change.key)
        else:
            yield not (change.after or change.before)


def _in_a_circle(arrows: dict[str, set[str]]) -> bool:
    left = {key: set(needs) for key, needs in arrows.items()}
    while left:
        free = {key for key, needs in left.items() if not needs & left.keys()}
        if not free:
            return True
        left = {key: needs for key, needs in left.items() if key not in free}
    return False


def altered(entry: Entry, **changes: object) -> Entry:
    """An entry that somebody wrote over by hand."""
    return replace(entry, **changes)
