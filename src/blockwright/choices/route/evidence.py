"""Evidence: what a step still lacks before it can be signed, what it was at the signing, and what of it has changed since."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from types import MappingProxyType

from blockwright.choices.route.step import Evidence, Proof, Step
from blockwright.engine.job import Job
from blockwright.engine.positions import ENGINE, Position
from blockwright.engine.steps import Given, Leaned, Look, Relied, Signing
from blockwright.fits.assessment import FitResult, Standing
from blockwright.fits.registry import REGISTRY
from blockwright.fits.sizes import Sizes
from blockwright.fits.words import say
from blockwright.metrology.readings import Reading
from blockwright.problems import Problem, excerpt
from blockwright.running.assess import judge

MOST_NAMED = 3
MOVED = 0.1
"""Share of its standard uncertainty by which a fit may move, its readings being the same, before a signature is asked for again."""
DIGITS = 8
NOTHING_LOST: Mapping[str, str] = MappingProxyType({})
WANTING = {
    Standing.UNDECIDED: "Measure again, or accept it on judgement and sign.",
    Standing.NONCONFORMING: "Put it right, or accept it under concession and sign.",
}


class Standings:
    """Fits of a job as they stand, each judged once when it is first asked for; `lost` says of photos, by their name, what became of them."""

    def __init__(self, job: Job, lost: Mapping[str, str] = NOTHING_LOST) -> None:
        self.job = job
        self.lost = lost
        self._sizes = Sizes(job)
        self._found: dict[tuple[str, Position], FitResult] = {}

    def of(self, fit: str, at: Position | None) -> FitResult:
        """How a fit stands at a position; at the engine where none is given."""
        key = (fit, at or ENGINE)
        if key not in self._found:
            self._found[key] = judge(self.job, REGISTRY[fit], key[1], self._sizes)
        return self._found[key]

    @cached_property
    def readings(self) -> Mapping[str, Sequence[Reading]]:
        """All readings by their mark, those at the ring grinder too, withdrawn or not."""
        found: dict[str, list[Reading]] = {}
        for reading in (*self.job.readings, *(each.reading for each in self.job.passes)):
            found.setdefault(reading.id, []).append(reading)
        return found


def will_do(result: FitResult) -> bool:
    """Whether a fit is good enough to be signed over: it conforms, or was accepted."""
    return result.standing is Standing.CONFORMS or result.record is not None


def looked_at(result: FitResult, looks: Sequence[Look]) -> Look | None:
    """The look that accepts a fit which was read and which nobody limits, if there is one."""
    if result.standing is not Standing.UNLIMITED:
        return None
    names = (fit_name(result), f"{result.fit.name}, {result.position}")
    return next((look for look in looks if look.why.strip() and _plain(look.what) in map(_plain, names)), None)


def lacking_fits(step: Step, standings: Standings, looks: Sequence[Look] = ()) -> tuple[Problem, ...]:
    """The fits of a step that will not do, each with what would mend it."""
    results = _fits(step, standings)
    return tuple(_fit_problem(result) for result in results if not will_do(result) and not looked_at(result, looks))


def lacking(step: Step, given: Given, by: str, standings: Standings) -> tuple[Problem, ...]:
    """Everything that a step still lacks before it can be signed by this hand."""
    return (
        *lacking_fits(step, standings, given.looks),
        *_needless_looks(step, given.looks, standings),
        *_lacking_proofs(step, given, by),
    )


def relied_on(step: Step, given: Given, by: str, standings: Standings) -> tuple[Relied, ...]:
    """What a signature under this step leans on: its parts and fits, as they are now."""
    parts = (Relied(Leaned.PART, mark, digests=(("", _part_digest(standings.job, mark)),)) for mark in step.parts)
    fits = (_fit_relied(result, looked_at(result, given.looks), by) for result in _fits(step, standings))
    return (*parts, *fits)


def changed_since(step: Step, signing: Signing, standings: Standings) -> Iterator[str]:
    """Why a signature no longer holds: each part, fit and proof that is no longer what it was, in words."""
    yield from _parts_changed(step, signing, standings.job)
    for each in step.evidence:
        if each.proof is Proof.FIT:
            yield from _fit_changed(each, signing, standings)
    for problem in _lacking_proofs(step, signing.given, signing.by):
        yield problem.what.rstrip(".")
    for photo in signing.given.photos:
        if photo in standings.lost:
            yield standings.lost[photo]


def look_words(look: Look, by: str) -> str:
    """`no limit given; looked at and accepted by R. Quill: as its neighbours`."""
    return f"{Standing.UNLIMITED}; looked at and accepted by {by}: {look.why}"


def fit_name(result: FitResult) -> str:
    """`wall clearance, cylinder 3`; without the position where there is only one."""
    return f"{result.fit.name}, {result.position}" if result.position.label else result.fit.name


def _fits(step: Step, standings: Standings) -> list[FitResult]:
    return [standings.of(each.what, each.at) for each in step.evidence if each.proof is Proof.FIT]


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


def _fit_problem(result: FitResult) -> Problem:
    what = f"{fit_name(result)} will not do yet: {result.words}."
    if result.standing is Standing.UNLIMITED:
        mend = f"Write a limit into job.toml; or look at it and sign with --look '{fit_name(result)}: your reason'."
        return Problem("sign-fit", what, mend)
    if result.standing is not Standing.OPEN:
        return Problem("sign-fit", what, WANTING[result.standing])
    more = len(result.missing) - MOST_NAMED
    named = "; ".join(result.missing[:MOST_NAMED]) + (f"; and {more} more" if more > 0 else "")
    return Problem("sign-fit", what, f"Still to read: {named}.")


def _needless_looks(step: Step, looks: Sequence[Look], standings: Standings) -> Iterator[Problem]:
    """Looks at what the step does not ask for, or at what is judged by a limit: nothing is let through by them."""
    open_to_it = [result for result in _fits(step, standings) if result.standing is Standing.UNLIMITED]
    for look in looks:
        if not any(looked_at(result, [look]) for result in open_to_it):
            what = (
                f"'{excerpt(look.what)}' is no fit of this step that was read and has no limit, or no reason is given."
            )
            named = ", ".join(fit_name(result) for result in open_to_it)
            mend = (
                f"To be looked at: {named}." if named else "Nothing of this step is accepted by a look: leave it out."
            )
            yield Problem("sign-look", what, mend)


def _lacking_proofs(step: Step, given: Given, by: str) -> Iterator[Problem]:
    counts, photos, paint = (
        [each for each in step.evidence if each.proof is proof] for proof in (Proof.COUNT, Proof.PHOTO, Proof.PAINT)
    )
    yield from _lacking_counts(counts, given.counts, "counted")
    yield from _lacking_counts(paint, given.paint, "marked with paint")
    for index, each in enumerate(photos):
        if index >= len(given.photos) or not given.photos[index].strip():
            yield Problem("sign-photo", f"photo of {each.what}: none is named.", "Take it, and name its file.")
    for each in step.evidence:
        if each.proof is Proof.EYES:
            yield from _lacking_eyes(each, given.eyes, by)


def _lacking_counts(asked: Sequence[Evidence], told: Sequence[int], word: str) -> Iterator[Problem]:
    for index, each in enumerate(asked):
        if index >= len(told):
            wanted = f"There must be {each.number}." if each.number is not None else "Count and tell."
            yield Problem("sign-count", f"{each.what}: not {word}.", wanted)
        elif told[index] < 0 or each.number not in (None, told[index]):
            what = f"{each.what}: {told[index]} {word}, and there must be {each.number or 0}."
            yield Problem("sign-count", what, "Find out why before going on.")
    if len(told) > len(asked):
        what = f"{len(told)} numbers are given for what is {word}, and the step asks for {len(asked)}."
        yield Problem("sign-count", what, "Give them in the order in which the step asks for them.")


def _lacking_eyes(asked: Evidence, eyes: str, by: str) -> Iterator[Problem]:
    if not eyes.strip():
        yield Problem("sign-eyes", f"{asked.what}: nobody else has looked.", "Have somebody look, and give the name.")
    elif same_hand(eyes, by):
        what = f"{asked.what}: {excerpt(by)} signs, so other eyes must look."
        yield Problem("sign-eyes", what, "Have somebody else look.")


def same_hand(one: str, other: str) -> bool:
    """Whether two names are one person's, whatever their case and gaps."""
    return one.casefold().split() == other.casefold().split()


def _fit_relied(result: FitResult, look: Look | None, by: str) -> Relied:
    readings = _readings_of(result)
    digests = tuple((reading.id, _reading_digest(reading)) for reading in readings)
    value = result.estimate.value if result.found else None
    words = look_words(look, by.strip()) if look else result.words
    return Relied(Leaned.FIT, result.fit.name, str(result.position), value, words, digests)


def _readings_of(result: FitResult) -> Sequence[Reading]:
    sizes = result.found.sizes if result.found else ()
    return list({id(reading): reading for _, size in sizes for reading in size.readings}.values())


def _parts_changed(step: Step, signing: Signing, job: Job) -> Iterator[str]:
    then = {each.name: each.digests for each in signing.relied if each.kind is Leaned.PART}
    gone = [mark for mark in then if mark not in step.parts]
    come = [mark for mark in step.parts if mark not in then]
    if gone and come:
        yield f"{_listed(come)} took the place of {_listed(gone)}"
    elif gone:
        yield f"{_listed(gone)} was taken out"
    elif come:
        yield f"{_listed(come)} came in after the signature"
    for mark in step.parts:
        if mark in then and then[mark] != (("", _part_digest(job, mark)),):
            yield f"what job.toml says of {excerpt(mark)} was changed"


def _fit_changed(asked: Evidence, signing: Signing, standings: Standings) -> Iterator[str]:
    now = standings.of(asked.what, asked.at)
    name = fit_name(now)
    then = next(
        (each for each in signing.relied if (each.kind, each.name, each.at) == (Leaned.FIT, asked.what, str(now.position))),
        None,
    )  # fmt: skip
    if then is None or then.value_si is None:
        yield f"the signature does not say what {name} was"
        return
    if not will_do(now) and not looked_at(now, signing.given.looks):
        yield f"{name} was '{then.standing}' and is now '{now.words}'"
    lost = list(_readings_lost(then, now, standings))
    if lost:
        yield f"{name}: {'; '.join(lost[:MOST_NAMED])}"
    elif now.found and _moved(then.value_si, now):
        job, scale, u = standings.job, now.fit.scale, now.estimate.u
        was, is_now = (say(job, v, scale, u=u, signed=now.fit.signed) for v in (then.value_si, now.estimate.value))
        yield f"{name} was {was} and is now {is_now}"


def _moved(then_si: float, now: FitResult) -> bool:
    return abs(then_si - now.estimate.value) > MOVED * now.estimate.u + 1e-6 * abs(then_si)


def _readings_lost(then: Relied, now: FitResult, standings: Standings) -> Iterator[str]:
    """What became of each reading that a fit rested on and rests on no more."""
    current = {(reading.id, _reading_digest(reading)) for reading in _readings_of(now)}
    for mark, digest in then.digests:
        if (mark, digest) in current:
            continue
        found = standings.readings.get(mark, ())
        same = [reading for reading in found if _reading_digest(reading) == digest]
        if not found:
            yield f"reading {excerpt(mark)} is no longer there"
        elif any(reading.withdrawn for reading in same or found):
            yield f"reading {excerpt(mark)} was withdrawn"
        elif not same:
            yield f"reading {excerpt(mark)} was changed"
        else:
            yield f"reading {excerpt(mark)} no longer counts for it"


def _listed(marks: Sequence[str]) -> str:
    return " and ".join(excerpt(mark) for mark in marks)


def _part_digest(job: Job, mark: str) -> str:
    part = job.parts.get(mark)
    if part is None:
        return _digest(mark)
    return _digest(part.mark, part.kind, part.maker, part.batch, part.alloy, part.second_alloy, part.coating)


def _reading_digest(reading: Reading) -> str:
    state = "" if reading.state is None else ";".join(sorted(reading.state))
    sizes = (
        reading.depth_m,
        reading.low_si,
        reading.high_si,
        reading.part_temp_c,
        reading.gauge_temp_c,
        reading.bore_temp_c,
    )
    words = (reading.part, reading.feature, reading.at, reading.spot, reading.gauge, reading.setting, state)
    return _digest(*words, *(repr(size) for size in sizes))


def _digest(*cells: str) -> str:
    text = "\n".join(cell.replace("\\", "\\\\").replace("\n", "\\n") for cell in cells)
    return hashlib.sha256(text.encode()).hexdigest()[:DIGITS]
