"""Clearances that would do better, and what the whole comes to, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from statistics import NormalDist

from blockwright.engine.job import Job
from blockwright.fits.assessment import Standing
from blockwright.fits.words import length
from blockwright.running.work.bearings_told import HOTTEST_C
from blockwright.running.work.geometry import fires_evenly
from blockwright.running.work.hot import GAPS, NOT_JUDGED
from blockwright.running.work.result import BearingTold, Better, CycleTold, Fact, HotFit, Node
from blockwright.running.work.seats import LEAST_SHARE

WORTH_M = 5e-6
"""A change smaller than this is not worth a word."""
MOST_AIR = 1.15
"""More of a charge than a well-tuned intake packs into its cylinder (from memory)."""
HOTTEST_CROWN_C = 320.0
"""More than aluminium bears for long (from memory)."""


def better(job: Job, fits: Sequence[HotFit], bearings: Sequence[BearingTold]) -> Iterator[Better]:
    """Gaps and walls whose heat asks for more, and bearings outside their window."""
    for fit in fits:
        if fit.hot.drawn and (fit.fit in GAPS or fit.fit == "wall clearance"):
            level = 1.0 - job.rules.touch if fit.fit in GAPS else job.rules.level
            least = fit.cold.value - fit.hot.value + NormalDist().inv_cdf(level) * fit.hot.sd
            if least > fit.cold.value + WORTH_M:
                what = "the ends meet" if fit.fit in GAPS else "the bare skirt outgrows its bore"
                words = (
                    f"from {length(job, least)} cold the chance that {what} is no more than {100.0 * (1.0 - level):g} %; "
                    f"it is {length(job, fit.cold.value)}"
                )
                yield Better(fit.fit, fit.position, fit.cold.value, least, None, words)
    for bearing in bearings:
        words = _window(job, bearing)
        if words:
            window = bearing.window
            ends = (None, None) if window is None else (window.least_m, window.most_m)
            yield Better(bearing.fit, bearing.position, bearing.cold_m.value, *ends, words)


def _window(job: Job, bearing: BearingTold) -> str:
    now, window = bearing.cold_m.value, bearing.window
    if window is None:
        return "no clearance tried keeps both film and temperature within their bounds: other oil, other width, or less load"
    low, high = window.least_m, window.most_m
    if (low is None or now >= low) and (high is None or now <= high):
        return ""
    ends = " to ".join(length(job, each) for each in (low, high) if each is not None)
    span = ends if low is not None and high is not None else f"from {ends} up" if low is not None else f"up to {ends}"
    return f"{span} cold would keep film and temperature within their bounds; it is {length(job, now)}"


def headline(fits: Sequence[HotFit], samples: int) -> str:
    """One sentence of what matters."""
    if not fits:
        return "No fit could be worked out hot: the readings for it are missing."
    if not samples:
        return f"{len(fits)} fits worked out hot, none judged: without draws there is no telling how sure they are."
    out = [fit for fit in fits if fit.standing == Standing.NONCONFORMING]
    doubtful = [fit for fit in fits if fit.standing == Standing.UNDECIDED and fit.said != NOT_JUDGED]
    if out:
        worst = max(out, key=lambda fit: fit.below)
        unsure = f"; {len(doubtful)} more {'is' if len(doubtful) == 1 else 'are'} not sure" if doubtful else ""
        return f"{_named(worst)} does not hold hot{_others(len(out) - 1)}{unsure}."
    if doubtful:
        worst = max(doubtful, key=lambda fit: fit.below)
        chance = (
            f"with a chance of {100.0 * worst.below:.2g} % of failing" if worst.below else "though no draw of it fails"
        )
        return f"Nothing is shown to fail hot; {_named(worst)} is least sure, {chance}{_others(len(doubtful) - 1)}."
    return f"All {len(fits)} fits that could be worked out hold hot, as far as the model knows."


def _named(fit: HotFit) -> str:
    return f"{fit.fit[:1].upper()}{fit.fit[1:]}, {fit.position},"


def _others(count: int) -> str:
    return f" (and {count} others)" if count > 1 else " (and one other)" if count else ""


def cautions(
    job: Job, facts: Sequence[Fact], cycle: CycleTold, nodes: Sequence[Node], bearings: Sequence[BearingTold], peak_met: bool
) -> Iterator[str]:  # fmt: skip
    """What a builder should know before he believes any of it."""
    air = cycle.breathing.value
    if air > MOST_AIR and not cycle.given:
        yield (
            f"the power asks for {air:.2f} times the air that the cylinders hold at the manifold's pressure: look at power, speed and boost; "
            "or the engine rubs less than the formula says"
        )  # fmt: skip
    if not peak_met:
        yield "the peak pressure given cannot be had at this power and compression ratio, however early or late it burns: the nearest is taken"
    if "diesel" in job.duty.fuel.casefold():
        yield "burning is that of a petrol engine: for a diesel the pressures are a rough guide"
    crown = next((node.temperature_c.value for node in nodes if node.name == "crown"), 0.0)
    if crown > HOTTEST_CROWN_C:
        yield f"a crown at {crown:.0f} °C is more than aluminium bears for long: oil jets, or less load, or the heat is not as assumed"
    unread = [bearing.name for bearing in bearings if not bearing.read]
    if unread:
        yield f"not measured, the middle of the limits taken: {', '.join(unread)}"
    shut = [bearing.name for bearing in bearings if bearing.hot_m.value < LEAST_SHARE * bearing.diameter_m]
    if shut:
        yield f"tighter when hot than the film's model takes: {', '.join(shut)}; the film told is at most half of what room is left"
    loose = [bearing.name for bearing in bearings if not bearing.settled]
    if loose:
        yield f"no steady film was found: {', '.join(loose)}"
    hot = [bearing.name for bearing in bearings if bearing.temperature_c.high > HOTTEST_C]
    if hot:
        yield f"the oil may get hotter than {HOTTEST_C:.0f} °C, however thick its film: {', '.join(hot)}"
    if any(not bearing.measures for bearing in bearings):
        yield "where a film's peak is over 50 MPa metal and film give way: there the numbers rank bearings, they do not measure them"
    if not fires_evenly(job.engine):
        yield (
            "the pins that cylinders share make it fire unevenly. Where it is not built so, look at firing_order, banks, first_bank and rotation; "
            "for split pins, or a pin for each rod, write shared_throws = false in [engine]"
        )  # fmt: skip
    if job.engine.main_count > len(job.engine.throws) + 1:
        yield "main bearings beyond the crank's bays are not worked out"
    assumed = sum(fact.assumed for fact in facts)
    yield f"{assumed} of {len(facts)} inputs are assumed; give those that you know under [at_work] and [temperatures]"
