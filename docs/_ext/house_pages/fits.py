"""The fit reference: every fit of the registry with what it rests on, who limits it, and what would put it right."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.engine.features import FEATURES
from blockwright.engine.positions import Place, Position
from blockwright.engine.rules import Authority, Side
from blockwright.engine.states import show_state
from blockwright.fits.fit import Fit, Need
from blockwright.fits.limits import Bound, Limits, Offer
from blockwright.fits.registry import REGISTRY
from blockwright.fits.words import Scale, say, unit_of
from blockwright.quantities import Kind
from house_pages.markdown import code, facts, plain, sentence, table
from house_pages.samples import SAMPLES, Sample

HARM = {
    Side.LOW: "too small",
    Side.HIGH: "too large",
    Side.BOTH: "either way",
    Side.NEITHER: "neither: both are soft matters",
}
PER = {
    Place.CYLINDER: "one for each cylinder",
    Place.MAIN: "one for each main bearing",
    Place.THROW: "one for each throw of the crank",
    Place.BANK: "one for each bank",
    Place.STAGE: "one for each stage of assembly",
    Place.ENGINE: "one for the engine",
}
SECOND_UNIT = {Kind.LENGTH: "thou", Kind.ROUGHNESS: "uin", Kind.TORQUE: "ft-lb", Kind.PRESSURE_STEP: "psi"}
USUAL_SI = {
    Scale.CLEARANCE: 50e-6,
    Scale.SIZE: 50e-3,
    Scale.ROUGHNESS: 3e-6,
    Scale.TORQUE: 20.0,
    Scale.PRESSURE: 0.2e6,
    Scale.STRESS: 40e6,
}
OFF_SI = {
    Scale.CLEARANCE: 20e-6,
    Scale.SIZE: 20e-6,
    Scale.ROUGHNESS: 1e-6,
    Scale.TORQUE: 5.0,
    Scale.PRESSURE: 0.1e6,
    Scale.STRESS: 20e6,
}
"""For the remedies: where a fit should lie if nobody says so, and how far off it is taken to be."""


def listing(words: str) -> str:
    """Every fit on one line, with a link to its story."""
    rows = [
        (f"[{fit.name}]({fit.group}.md#{slug(fit.name)})", plain(sentence(fit.what)), HARM[fit.hard].split(":")[0])
        for fit in REGISTRY.values()
    ]
    return table(("fit", "what it is", "does harm when"), rows, "stacks")


def samples(words: str) -> str:
    """The engines that limits are worked out for."""
    return facts((sample.name, sentence(sample.words)) for sample in SAMPLES)


def group(name: str) -> str:
    """The stories of one group of fits."""
    return "\n\n".join(story(fit) for fit in REGISTRY.values() if fit.group == name)


def story(fit: Fit) -> str:
    """One fit under its own heading."""
    fewer = " It is listed only where something of it was read or limited." if fit.on_request else ""
    lead = f"{sentence(fit.what)} There is {PER[fit.place]}{_where(fit)}.{fewer}"
    return f"## {fit.name}\n\n{plain(lead)}\n\n{facts(_facts(fit))}\n{_limits(fit)}"


def slug(name: str) -> str:
    """The anchor of a fit's heading."""
    return name.replace(" ", "-")


def _where(fit: Fit) -> str:
    without = [sample.name for sample in SAMPLES if not fit.applies(sample.job.engine)]
    if not without:
        return ""
    return ", where the pin floats" if without == ["touring"] else ", where the pin is pressed"


def _facts(fit: Fit) -> Iterator[tuple[str, str]]:
    yield "formula", code(fit.formula)
    yield "what counts", plain(sentence(fit.governing))
    yield "rests on", _needs(fit)
    for side, what, hurts in (("low", "too small", fit.when_low), ("high", "too large", fit.when_high)):
        severity = "does harm" if fit.hard in (Side(side), Side.BOTH) else "a soft matter"
        hurts = hurts.removesuffix("; a soft matter").removeprefix("a soft matter: ")
        remedy = _remedy(fit, side) if hurts else ""
        mend = f"\n\n  *Remedy, for example:* {plain(remedy)}." if remedy else ""
        yield what, f"{plain(sentence(hurts))} *({severity})*{mend}" if hurts else ""


def _needs(fit: Fit) -> str:
    return "\n  ".join(f"- {_need(need)}" for need in fit.needs)


def _need(need: Need) -> str:
    feature = FEATURES[need.feature]
    spots = [spot for spot in feature.spots if spot]
    taken = f", at {' · '.join(spots)}" if spots else ""
    state = _state(need)
    also = " (helps, and is not asked for)" if need.optional else ""
    return f"**{feature.name}** of the {feature.part}, by {feature.gauge}{plain(taken)}{state}{also}"


def _state(need: Need) -> str:
    """The state wanted; by engine, where engines differ."""
    by_state: dict[str, list[Sample]] = {}
    for sample in SAMPLES:
        by_state.setdefault(show_state(need.state(sample.job.engine)), []).append(sample)
    words = [state for state in by_state if state]
    if not words:
        return ""
    if len(by_state) == 1:
        return f", state {code(words[0])}"
    return f", state {code(words[0])} (split case: {code(words[-1])})"


def _remedy(fit: Fit, side: str) -> str:
    """What would put one side right, for a fit at place 1 that is off its aim by a usual amount."""
    sample = next(sample for sample in SAMPLES if fit.applies(sample.job.engine))
    aim, off = _aim(fit, sample), OFF_SI[fit.scale]
    value = aim - off if side == "low" else aim + off
    low, high = (Bound(aim + step * off / 2.0, Authority.MAKER, "", True) for step in (-1.0, 1.0))
    return fit.remedy(sample.job, Position(fit.place, "1"), value, Limits(low, high, aim))


def _aim(fit: Fit, sample: Sample) -> float:
    offer = fit.practice(sample.job, _first(fit, sample))
    offered = (offer.aim, offer.high, offer.low) if offer else ()
    named = fit.size(sample.job.engine) if fit.scale is Scale.SIZE else None
    return next((value for value in (*offered, named) if value is not None), USUAL_SI[fit.scale])


def _first(fit: Fit, sample: Sample) -> Position:
    return sample.job.engine.positions(fit.place)[0]


def _limits(fit: Fit) -> str:
    """What common practice offers where no maker speaks: in a sentence, or by engine where it depends on the engine."""
    fitting = [sample for sample in SAMPLES if fit.applies(sample.job.engine)]
    offers = [(sample, fit.practice(sample.job, _first(fit, sample))) for sample in fitting]
    known = [(sample, offer) for sample, offer in offers if offer is not None]
    if not known:
        return "Common practice has no limit for it: the maker's sheet decides, or a rule of your own that you sign.\n"
    if len({offer for _, offer in known}) == 1 and len(known) == len(fitting):
        return f"Where no maker speaks: {_said(fit, *known[0])}.\n"
    rows = [
        (sample.name, *(_both(sample, fit, value) for value in (offer.low, offer.aim, offer.high)), plain(_why(offer)))
        for sample, offer in known
    ]
    return table(("where no maker speaks", "low", "aim", "high", "because"), rows, "limits")


def _said(fit: Fit, sample: Sample, offer: Offer) -> str:
    """An offer as part of a sentence."""
    low, high = (_both(sample, fit, value, " ({})") for value in (offer.low, offer.high))
    if offer.low is None:
        span = f"up to {high}"
    elif offer.high is None:
        span = f"at least {low}"
    else:
        span = f"{low} to {high}"
    return f"{span}, {plain(_why(offer))}"


def _why(offer: Offer) -> str:
    return offer.source.partition(" (common practice")[0]


def _both(sample: Sample, fit: Fit, value: float | None, form: str = "<br>{}") -> str:
    """A value in the metric unit and then in the other one."""
    if value is None:
        return "–"
    metric = say(sample.job, value, fit.scale, unit=unit_of(sample.job, fit.scale))
    return metric + form.format(say(sample.job, value, fit.scale, unit=SECOND_UNIT[fit.kind]))


MAKERS = {"every_fit": listing, "sample_engines": samples, "fits": group}
