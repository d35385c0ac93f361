"""What the ring bench says, in words: the advice, why it stops, what would help, what was odd."""

from __future__ import annotations

import math

from blockwright.choices.filing.model import Advice, Oddity, Reason, Surprise
from blockwright.choices.ring_bench import OneMore, RingBench, RingState
from blockwright.engine.job import Job
from blockwright.engine.rules import Units
from blockwright.fits.assessment import Standing
from blockwright.fits.words import Scale, say
from blockwright.report.rows import short_words
from blockwright.running.ring_heat import RingHeat

RITUAL = (
    "One end only, the other against the stop.",
    "File from the coated face inward.",
    "Ends parallel: close the ring by hand and look at light between them.",
    "Deburr both ends, lightly, and wipe ring and bore.",
    "Let it cool: fresh from the grinder a ring reads tight.",
    "Square in its own bore, pushed down with a piston to the depth written down.",
)
RITUAL_READING = RITUAL[3:]
SECOND_AND_TOP = (
    "A second ring somewhat looser than the top is a soft matter: it lets the gas out from under the top ring, which then seats better. A tight one "
    "is hard: it butts and breaks. Some makers want it smaller, or sell it gapless: then the maker's sheet rules."
)
RITUAL_SHORT = "Again: one end only, coated face inward, ends parallel, deburred, wiped, cool, square in its bore."
READING_SHORT = "Again: wiped, cool, square in its bore."
PLATE = "Torque plate on, its bolts at their torque: this engine's bores are measured so."
PLIERS_STEP_M = {Units.METRIC: 0.1e-3, Units.INCH: 5 * 25.4e-6}
"""How finely the stop of ring pliers can be set."""
WORTH_SAYING_M = 2e-6
"""By so much a gap must differ between where it is read and where it governs, to be told apart."""
CAUTION = "Ring ends are sharp and the wheel throws grit: eye protection on, fingers clear of the wheel."
MOUNTING_CAUTION = "Ring ends and rails are sharp, and a ring that slips or breaks flies: eye protection on, fingers clear of its ends."
PISTON_CAUTION = "Edges of lands and grooves are sharp as machined: handle pistons by the skirt and the pin bore."


def ritual(job: Job, *, filed: bool) -> tuple[str, ...]:
    """What to do before a gap is read, step by step; `filed` where something was just taken off."""
    return (*((PLATE,) if job.engine.torque_plate else ()), *(RITUAL if filed else RITUAL_READING))


def length(job: Job, value_m: float, u_m: float | None = None) -> str:
    """A gap in the shop's unit."""
    return say(job, value_m, Scale.CLEARANCE, u=u_m)


def units_text(units: float, counted_in: str) -> str:
    """`7 turns`, `1 turn`, `2.5 turns`, `2 passes`, `1 pass`."""
    return f"{units:g} {one_of(counted_in) if units == 1.0 else counted_in}"


def one_of(counted_in: str) -> str:
    """`turns` -> `turn`, `passes` -> `pass`."""
    return (
        counted_in.removesuffix("es") if counted_in.endswith(("sses", "shes", "ches")) else counted_in.removesuffix("s")
    )


def took_words(job: Job, state: RingState) -> str:
    """`8 turns in 2 passes`, `not filed`."""
    if not state.taken:
        return "not filed"
    passes = sum(each.units > 0.0 for each in state.passes)
    return f"{units_text(state.taken, job.sheet.grinder.counted_in)} in {passes} pass{'es' * (passes != 1)}"


def stands_words(state: RingState) -> str:
    """The verdict on a ring, unless it is to be read first."""
    if state.waiting:
        return "gap not read since"
    return "readings disagree" if state.disagree else short_words(state.result)


def rate_words(bench: RingBench) -> dict[str, str]:
    """How fast the wheel that is on cuts each kind of ring that was filed: `12 µm a turn, give or take 9 %`."""
    one = one_of(bench.job.sheet.grinder.counted_in)
    rates = {kind: bench.rate_m(kind) for kind in dict.fromkeys(state.ring.ring for state in bench.rings)}
    return {
        kind: f"{length(bench.job, found[0], 0.2e-6)} a {one}, give or take {100.0 * found[1]:.0f} %"
        for kind, found in rates.items()
        if found is not None
    }


def opening(job: Job, value_m: float, *, up: bool) -> str:
    """How far a ring is spread, in steps that pliers can be set to, rounded up or down."""
    step_m = PLIERS_STEP_M[job.rules.units]
    steps = value_m / step_m
    whole = math.ceil(steps - 1e-9) if up else math.floor(steps + 1e-9)
    return length(job, whole * step_m, 5.0 * step_m)


def advice_words(job: Job, state: RingState) -> str:
    """What to do with a ring now, in one or two sentences."""
    if state.blocked:
        return f"No advice: {state.blocked}."
    if state.waiting:
        return f"{units_text(state.waiting, job.sheet.grinder.counted_in)} taken, gap not read since: read it first."
    if state.advice is None:
        return "Read its gap first."
    if state.disagree:
        return "What was read of it disagrees. Read it again before anything more is taken."
    if state.read_again:
        return "Read it again before anything more is taken."
    advice = state.advice
    if advice.reason is Reason.FILE:
        return _file_words(job, state, advice)
    return _stop_words(job, state, advice)


def left_alone(bench: RingBench) -> dict[str, str]:
    """Why rings are not to be filed, each reason with the rings that it keeps: `R2 top, R2 second`."""
    reasons: dict[str, list[str]] = {}
    for state in bench.rings:
        if state.blocked:
            reasons.setdefault(state.blocked, []).append(f"{state.ring.rings} {state.ring.ring}")
    return {reason: ", ".join(names) for reason, names in reasons.items()}


def _file_words(job: Job, state: RingState, advice: Advice) -> str:
    assert state.window is not None
    return (
        f"Take {units_text(advice.units, job.sheet.grinder.counted_in)}: {coming_words(job, state)} "
        f"Chance of passing {length(job, state.window.upper_m)}: {_chance(advice.p_over)}.{shows_words(job, state)}"
    )


def coming_words(job: Job, state: RingState) -> str:
    """Where the advised pass should bring the gap."""
    assert state.advice is not None and state.window is not None
    expected, aim = length(job, state.advice.expected_gap_m), length(job, state.window.aim_m)
    return f"the gap should come to about {expected}, aim {aim}."


def shows_words(job: Job, state: RingState) -> str:
    """What the gauge should show then, where the ring is read at another place than the one that governs; else nothing."""
    if state.advice is None or abs(state.change_m) < WORTH_SAYING_M:
        return ""
    return f" Where you read it, that shows as about {length(job, state.advice.expected_gap_m - state.change_m)}."


def risk_words(job: Job, state: RingState) -> str:
    """What the advised pass risks, in odds: of this pass, and what the shop puts up with a ring."""
    assert state.advice is not None and state.window is not None
    most, whole = length(job, state.window.upper_m), odds(job.sheet.grinder.risk)
    return f"{_capital(odds(state.advice.p_over, up=True))} to pass {most} with this pass; this shop puts up with {whole} a ring."


def why_not_more(job: Job, state: RingState, more: OneMore) -> str:
    """Why not one step more than advised."""
    assert state.advice is not None and state.window is not None
    counted = units_text(more.units, job.sheet.grinder.counted_in)
    if more.p_over > state.advice.share:
        return (
            f"With {counted} it would be {odds(more.p_over)} to pass {length(job, state.window.upper_m)}, "
            f"and this pass may risk {odds(state.advice.share)} only."
        )
    expected, aim = length(job, more.expected_gap_m), length(job, state.window.aim_m)
    return f"With {counted} it would come to about {expected}, past the aim of {aim}."


def odds(chance: float, *, up: bool = False) -> str:
    """`1 in 100`; with `up` the bound of a small chance: `at most 1 in 2300`, `less than 1 in 10000`."""
    if chance < 1e-4:
        return "less than 1 in 10000"
    one_in = 1.0 / chance
    digits = 1 - math.floor(math.log10(one_in))
    shown = math.floor(one_in * 10.0**digits) / 10.0**digits if up else round(one_in, digits)
    return f"{'at most ' if up else ''}1 in {shown:g}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _stop_words(job: Job, state: RingState, advice: Advice) -> str:
    gap = length(job, advice.gap_now_m, advice.u_now_m)
    match advice.reason:
        case Reason.CONFORMS:
            told = f"Stop: it conforms at {gap} ({_sure(advice.p_inside_now)} sure)"
            if state.result.standing is Standing.CONFORMS:
                return f"{told}. Mark it and lay it with its piston."
            return (
                f"{told} by all passes together; its last reading alone cannot tell. Read it once more for the sheet."
            )
        case Reason.TOO_WIDE:
            return f"Stop: it is past the upper limit at {gap}. Nothing can be put back: another ring, or a signed concession."
        case Reason.WORSENS:
            return f"Stop: more filing could only make it worse. It stands at {gap}, {_sure(advice.p_inside_now)} likely inside."
        case Reason.AIM:
            return f"Stop: the smallest step would pass the aim. It stands at {gap}, {_sure(advice.p_inside_now)} likely inside.{_help(job, advice)}"
        case Reason.RISK:
            return (
                f"Stop: with this gauge no step is permitted at a risk of {_chance(job.sheet.grinder.risk)} a ring. "
                f"It stands at {gap}.{_help(job, advice)}"
            )
        case _:
            return "Read the gap before filing on."


def _help(job: Job, advice: Advice) -> str:
    if advice.help is None or (advice.help.repeats is None and advice.help.gauge_u_m is None):
        return ""
    ways = []
    if advice.help.repeats is not None:
        ways.append("read it once more" if advice.help.repeats == 1 else f"read it {advice.help.repeats} more times")
    if advice.help.gauge_u_m is not None:
        ways.append(f"take a gauge good to about ±{length(job, 2.0 * advice.help.gauge_u_m, advice.help.gauge_u_m)}")
    return f" To go on: {' or '.join(ways)}."


def surprise_words(job: Job, surprise: Surprise) -> str:
    """What was odd about the last pass, and what to look at."""
    seen, expected = (length(job, value) for value in (surprise.seen_growth_m, surprise.expected_growth_m))
    look = {
        Oddity.TOO_MUCH: "Did the ring slip or stand askew, or were more taken than counted?",
        Oddity.TOO_LITTLE: "Is the wheel clogged, or did the ring slip on its stop?",
        Oddity.SHRANK: "A gap cannot shrink: a burr, a ring still warm, another bore, or a wrong reading?",
    }[surprise.kind]
    return (
        f"The last pass is hard to believe: the gap changed by {seen} where about {expected} was expected "
        f"({_chance(surprise.probability)} likely). {look} Read it again; the rate does not learn from this pass."
    )


def heat_words(job: Job, heat: RingHeat, touching: float | None, where: str = "") -> str:
    """What heat does to a gap, in sentences; `touching` is the chance that its ends touch, `where` for which cylinder."""
    main = heat.weights[0]
    origin = {"temperature of the ring": heat.ring.origin, "temperature of the bore": heat.bore.origin}.get(
        main.words, "as listed"
    )
    chance = "" if touching is None else f"; the ends touch with {_chance(touching)} chance{where}"
    weighs = f"What matters most: {main.words} ({100.0 * main.share:.0f} % of the spread), {origin}."
    if heat.closure_m <= 0.0:
        return f"Heat does not close it: the bore grows more than the ring{chance}. {weighs}"
    head = f"Heat closes it by about {length(job, heat.closure_m, 3e-6)}{chance}. {weighs}"
    if heat.least_gap_m <= 0.0:
        return head
    least, doubt = length(job, heat.least_gap_m), length(job, 2.0 * heat.standard_error_m)
    return f"{head} Least cold gap for a chance of {100.0 * heat.level:g} %: {least} (sampled, give or take {doubt})."


def _sure(chance: float) -> str:
    return "over 99.9 %" if chance > 0.999 else f"{100.0 * chance:.1f} %"


def _chance(value: float) -> str:
    return "under 0.01 %" if value < 1e-4 else f"{100.0 * value:.2f} %"
