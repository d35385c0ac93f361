"""From the closed engine to its first oil change: oil, priming, outer parts, leak-down, first start, run-in. Or a short block, oiled and bagged."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.choices.route.content.facts import Facts, count, eyes, final, paint, photo
from blockwright.choices.route.step import Pass, Step
from blockwright.engine.fasteners import Joint

GROUP, RUN = "Closing up", "First start"
BLOWER = "Turbocharger or blower: oil poured into its feed, turned by hand; its drain runs downhill all the way."


def steps(facts: Facts) -> Iterator[Step]:
    """What is done to the closed engine before anything runs."""
    if not facts.how.heads:
        return
    grade = f" Later it will run on {facts.job.duty.oil_grade}." if facts.job.duty.oil_grade else ""
    water = ", bubbles in the water" if facts.water else ""
    filled = (final("water pipes"),) if facts.water else ()
    yield Step(
        key=final("oil and filter"), stage=Pass.FINAL, name="Oil and filter", group=GROUP, after=(final("sump"),),
        consumables=("run-in oil", "new filter"),
        do=(f"Fill with the run-in oil that the ring maker names.{grade}", "Filter filled with oil and drawn on by hand.", *_tank(facts)),
        evidence=(eyes("level, drain plug, filter"),),
    )  # fmt: skip
    yield Step(
        key=final("priming"), stage=Pass.FINAL, name="Primed: oil at every rocker or cam bearing", group=GROUP,
        after=(final("oil and filter"), final("lash")),
        tools=("primer, or drill for the pump", "pressure gauge"),
        do=(
            "Drive the pump by its shaft, or push oil in from a pressure tank where the crank drives it, until the gauge shows pressure.",
            "Turn the crank a quarter turn at a time meanwhile: its holes meet those of the shells one after the other.",
            "Wait until oil is seen at every rocker or cam bearing, the farthest too. No oil there? Stop and find out why.",
        ),
        cautions=("Oil under pressure cuts: mind every open end.", "A drill that stalls turns your wrist."),
        evidence=(count("rockers or cam bearings at which oil was seen"), eyes("oil pressure on the gauge")),
    )  # fmt: skip
    yield Step(
        key=final("leak-down test"), stage=Pass.FINAL, name="Leak-down, every cylinder", group=GROUP, after=(final("lash"), *filled),
        tools=("leak-down gauge", "crank lock"),
        do=(
            f"Each cylinder at top dead centre of its firing stroke, crank held. Listen: intake, exhaust, crankcase{water}.",
            "Cold and unrun rings leak more than run-in ones: write the figures down, compare the cylinders.",
        ),
        cautions=("Air pressure turns the crank: lock it, and hands off.",), evidence=(count("cylinders tested", facts.engine.cylinders),),
    )  # fmt: skip
    covers = facts.tight(Joint.VALVE_COVERS)
    yield Step(
        key=final("valve covers"), stage=Pass.FINAL, name="Valve covers", group=GROUP, after=(final("priming"),), consumables=("gaskets",),
        do=("Rags and tools out of the top of each head. Covers on, evenly.",), torque=covers.with_lubricant,
        evidence=(count("rags and tools out of the top"),),
    )  # fmt: skip
    yield Step(
        key=final("manifolds"), stage=Pass.FINAL, name="Manifolds and fuel", group=GROUP, after=facts.heads, consumables=("gaskets",),
        do=(
            "Look into each port before it is covered: no rag, no nut. Take every port cap out.",
            *((BLOWER,) if facts.job.duty.boosted else ()),
            "Fuel lines last, tried for leaks under pressure.",
        ),
        torque=facts.tight(Joint.MANIFOLDS).with_lubricant, cautions=("Fuel burns: no flame, no spark, extinguisher at hand.",),
        evidence=(count("port caps and rags out"),),
    )  # fmt: skip
    if facts.water:
        yield Step(
            key=final("water pipes"), stage=Pass.FINAL, name="Water pump and water pipes", group=GROUP, after=facts.heads,
            consumables=("gaskets", "clips"),
            do=("Pump, thermostat, pipes. Thermostat's pin to the top. Fill, with every bleed open, and try under pressure.",),
            torque=facts.tight(Joint.WATER_PIPES).with_lubricant, evidence=(eyes("no leak under pressure"),),
        )  # fmt: skip
    yield _ignition(facts)
    mounts = facts.tight(Joint.MOUNTS)
    flywheel = facts.tight(Joint.FLYWHEEL)
    yield Step(
        key=final("mounts"), stage=Pass.FINAL, name="Flywheel, mounts, engine in its place", group=GROUP, after=(final("sump"),),
        tools=("hoist", "torque wrench"),
        do=(
            "Flywheel on by its dowel, its face and the crank's dry and without a burr. Bolts in stages.",
            "Clutch and its pilot bearing, where there are.",
            "Lift by the eyes only. Mounts tight when the engine hangs free of strain.",
        ),
        torque=(*flywheel.with_lubricant, *mounts.with_lubricant), cautions=("Never under a hanging engine.",),
        evidence=(paint("flywheel bolts", flywheel),),
    )  # fmt: skip


def _ignition(facts: Facts) -> Step:
    """What fires it, and what watches over it. After the leak-down test, for which the plugs or injectors are out."""
    diesel = "diesel" in facts.job.duty.fuel.casefold()
    order = "-".join(map(str, facts.engine.firing_order)) or "that the maker gives"
    fired = (
        ("Injectors in on new washers, seats clean.", "Lines by their numbers, bled up to the injectors.")
        if diesel
        else (
            "Plugs gapped, in by hand first, on a clean seat.",
            f"Leads or coils in the firing order {order}. Ignition set still, by the true top dead centre.",
        )
    )
    return Step(
        key=final("ignition"), stage=Pass.FINAL, name="Injectors and senders" if diesel else "Plugs, ignition and senders", group=GROUP,
        after=(final("leak-down test"),), tools=("plug gauge", "torque wrench"),
        do=(*fired, "Senders of oil pressure and temperature in, each gauge or lamp tried: they are all that warns you at the first start."),
        cautions=("Ignition and fuel stay off until the first start.",),
        evidence=(eyes("gauges tried" if diesel else "leads in the firing order, gauges tried"),),
    )  # fmt: skip


def last_steps(facts: Facts, ends: tuple[str, ...]) -> Iterator[Step]:
    """What waits for everything else: the first start and what follows; for a short block, the bag."""
    yield Step(
        key=final("closed up"), stage=Pass.FINAL, name="Everything out that does not belong, everything in that does", group=GROUP, after=ends,
        do=(
            "Count rags, caps, brushes, magnets, blades against the list from the wash.",
            "Walk round the engine with the list of fasteners: a mark on each.",
        ),
        evidence=(
            count("rags and tools back on the bench"),
            count("caps and plugs taken out of openings, or put on for transport"),
            eyes("walk round the engine"),
        ),
    )  # fmt: skip
    if not facts.how.heads:
        yield Step(
            key=final("bagged"), stage=Pass.FINAL, name="Short block oiled, covered, bagged", group=GROUP, after=(final("closed up"),),
            consumables=("thin oil", "bag", "plugs"),
            do=("Oil on walls and bare faces. Every opening shut. What is still to be done goes with it in writing.",),
            evidence=(count("openings shut"), photo("the block as it leaves")),
        )  # fmt: skip
        return
    yield from _running(facts)


def _tank(facts: Facts) -> tuple[str, ...]:
    return ("Tank filled, its lines filled, valves between tank and pump open.",) if facts.how.dry_sump else ()


def _running(facts: Facts) -> Iterator[Step]:
    top = (
        "Vary load and speed; no full load, no long idling."
        if not facts.job.duty.hard_worked
        else "Vary load and speed; no full load yet, however it will be worked later."
    )
    yield Step(
        key=final("first start"), stage=Pass.FINAL, name="First start", group=RUN, after=(final("closed up"),),
        tools=("extinguisher", "oil pressure gauge", "timing lamp"),
        do=(
            "Crank it without spark and fuel until the oil gauge moves. Then start.",
            "Pressure within seconds, or stop.",
            "Flat lobes: by the cam maker's word; else common practice: straight to 2000 rpm, varied for twenty minutes, no idling.",
            "Look for leaks, listen, watch pressure and temperature. Anything odd: stop first, think after.",
        ),
        cautions=(
            "Hair, sleeves, rags away from belts and fan. Nobody in line with them.", "Exhaust gas kills: open doors or an exhaust pipe outside.",
            "One hand stays at the switch, an extinguisher stands by.", "Hot oil and hot pipes burn.",
        ),
        evidence=(eyes("second person at the switch, oil pressure seen"),),
    )  # fmt: skip
    yield Step(
        key=final("running in"), stage=Pass.FINAL, name="Run-in", group=RUN, after=(final("first start"),),
        do=(
            "By the ring maker's word; else common practice: load soon and often, from low speed, let it push itself back; that seats the rings.",
            top, "Let it cool, then look at lash and leaks. Tighten again only what its maker asks for.",
        ),
        torque=_again(facts), cautions=("A hot cooling system is opened by nobody.",), evidence=(eyes("lash and leaks after the first heat"),),
    )  # fmt: skip
    yield Step(
        key=final("first oil"), stage=Pass.FINAL, name="First oil and filter, filter cut open", group=RUN, after=(final("running in"),),
        consumables=("oil", "filter"),
        do=(
            "Drain warm. Cut the filter open, spread its paper, take a magnet to it: a little dust is run-in, flakes are a shell.",
            "Leak-down once more, against the first.",
        ),
        cautions=("Warm oil scalds, used oil harms skin: gloves.",), evidence=(count("filter cut open", 1), eyes("what the filter held")),
    )  # fmt: skip


def _again(facts: Facts) -> tuple[str, ...]:
    """Joints that their maker wants tightened again."""
    asked = tuple(f"{each.joint}: {each.retorque}" for each in facts.job.sheet.fastener if each.retorque)
    return asked or ("no maker of this job asks for anything to be tightened again",)
