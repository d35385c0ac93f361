"""What the ring bench says, in words: the advice, why it stops, what would help, what was odd."""

from __future__ import annotations

from blockwright.choices.filing.model import Advice, Oddity, Reason, Surprise
from blockwright.choices.ring_bench import RingState
from blockwright.engine.job import Job
from blockwright.fits.words import Scale, say
from blockwright.running.ring_heat import RingHeat

RITUAL = (
    "One end only, the other against the stop.",
    "File from the coated face inward.",
    "Ends parallel: close the ring by hand and look at light between them.",
    "Deburr both ends, lightly, and wipe ring and bore.",
    "Let it cool: fresh from the grinder a ring reads tight.",
    "Square in its own bore, pushed down with a piston to the depth written down.",
)
CAUTION = "Ring ends are sharp and the wheel throws grit: eye protection on, fingers clear of the wheel."


def length(job: Job, value_m: float, u_m: float | None = None) -> str:
    """A gap in the shop's unit."""
    return say(job, value_m, Scale.CLEARANCE, u=u_m)


def units_text(units: float, counted_in: str) -> str:
    """`7 turns`, `1 turn`, `2.5 turns`."""
    word = counted_in.removesuffix("s") if units == 1.0 else counted_in
    return f"{units:g} {word}"


def advice_words(job: Job, state: RingState) -> str:
    """What to do with a ring now, in one or two sentences."""
    if state.blocked:
        return f"No advice: {state.blocked}."
    if state.advice is None:
        return "Read its gap first."
    if state.read_again:
        return "Read it again before anything more is taken."
    advice = state.advice
    if advice.reason is Reason.FILE:
        return _file_words(job, state, advice)
    return _stop_words(job, state, advice)


def _file_words(job: Job, state: RingState, advice: Advice) -> str:
    offset = _offset(state)
    expected, aim = length(job, advice.expected_gap_m + offset), length(job, _aim(state))
    risk = _chance(advice.p_over)
    return (
        f"Take {units_text(advice.units, job.sheet.grinder.counted_in)}: the gap should come to about {expected}, aim {aim}. "
        f"Chance of passing {length(job, _must_not_pass(state))}: {risk}."
    )


def _stop_words(job: Job, state: RingState, advice: Advice) -> str:
    gap = length(job, advice.gap_now_m + _offset(state), advice.u_now_m)
    match advice.reason:
        case Reason.CONFORMS:
            return (
                f"Stop: it conforms at {gap} ({_sure(advice.p_inside_now)} sure). Mark it and lay it with its piston."
            )
        case Reason.TOO_WIDE:
            return f"Stop: it is past the upper limit at {gap}. Nothing can be put back: another ring, or a signed concession."
        case Reason.WORSENS:
            return f"Stop: more filing could only make it worse. It stands at {gap}, {advice.p_inside_now:.0%} likely inside."
        case Reason.AIM:
            return f"Stop: the smallest step would pass the aim. It stands at {gap}, {advice.p_inside_now:.0%} likely inside.{_help(job, advice)}"
        case Reason.RISK:
            return (
                f"Stop: with this gauge no step is permitted at a risk of {job.sheet.grinder.risk:.1%} a ring. "
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
    seen, expected = (length(job, value, 2e-6) for value in (surprise.seen_growth_m, surprise.expected_growth_m))
    look = {
        Oddity.TOO_MUCH: "Did the ring slip or stand askew, or were more taken than counted?",
        Oddity.TOO_LITTLE: "Is the wheel clogged, or did the ring slip on its stop?",
        Oddity.SHRANK: "A gap cannot shrink: a burr, a ring still warm, another bore, or a wrong reading?",
    }[surprise.kind]
    return (
        f"The last pass is hard to believe: the gap changed by {seen} where about {expected} was expected "
        f"({surprise.probability:.2%} likely). {look} Read it again; the rate does not learn from this pass."
    )


def heat_words(job: Job, heat: RingHeat, touching: float | None) -> str:
    """What heat does to a gap, in a sentence."""
    closes = length(job, heat.closure_m, 3e-6)
    head = (
        f"Heat closes it by about {closes}"
        if heat.closure_m > 0.0
        else "Heat does not close it: the bore grows more than the ring"
    )
    chance = "" if touching is None else f"; the ends touch with {_chance(touching)} chance"
    main = heat.weights[0]
    return f"{head}{chance}. What matters most: {main.words} ({main.share:.0%} of the spread), {heat.ring.origin}."


def _sure(chance: float) -> str:
    return "over 99.9 %" if chance > 0.999 else f"{100.0 * chance:.1f} %"


def _chance(value: float) -> str:
    return "under 0.01 %" if value < 1e-4 else f"{100.0 * value:.2f} %"


def _offset(state: RingState) -> float:
    assert state.window is not None and state.result.limits.low is not None
    return state.result.limits.low.value - state.window.low_m


def _aim(state: RingState) -> float:
    assert state.window is not None
    return state.window.aim_m + _offset(state)


def _must_not_pass(state: RingState) -> float:
    assert state.window is not None
    return state.window.upper_m + _offset(state)
