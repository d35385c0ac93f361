"""Rings on, pin and clips, piston into its bore: from above on its rod, from below, alone through a service hole, or under a barrel."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.choices.clocking.facing import facing
from blockwright.choices.clocking.rules import elements_of
from blockwright.choices.ring_bench import rings_of
from blockwright.choices.route.content.crank import STOP, TURN, angle_set
from blockwright.choices.route.content.facts import BY_MAKER, FINGERS, Facts, count, eyes, final, paint, photo
from blockwright.choices.route.content.rods import FACING, JOIN, rod_bolts, rod_closes
from blockwright.choices.route.ring_entry import entry_words
from blockwright.choices.route.step import Evidence, Pass, Step
from blockwright.engine.assembly import PistonWay
from blockwright.engine.fasteners import Joint
from blockwright.engine.layout import PinHold
from blockwright.engine.pack import Element, Face
from blockwright.engine.parts import Part, PartKind
from blockwright.engine.positions import Position

GROUP = "Pistons"
PISTON_FACING = ("arrow or mark to the front, or as its maker says", "valve pockets to their valves")
WALL_OIL = (
    f"{BY_MAKER}thin clean oil on wall and skirt, rings nearly dry; some ring makers want no oil on the rings at all"
)
PIN_OIL = f"{BY_MAKER}clean engine oil on pin and bosses"


def steps(facts: Facts) -> Iterator[Step]:
    """All pistons, cylinder by cylinder; those that are felt one by one follow each other by number."""
    alone = facts.how.pistons_enter is PistonWay.ALONE
    for index, at in enumerate(facts.cylinders):
        if facts.how.pistons_enter is not PistonWay.ALONE:
            yield _on_rod(facts, at)
        yield _rings(facts, at)
        if _set_first(facts, at):
            yield angle_set(facts, at, _before(facts, index), "the piston")
        yield _into_bore(facts, index)
    if alone:
        yield _service_holes(facts)


def _set_first(facts: Facts, at: Position) -> bool:
    return at.number in facts.how.one_angle and not facts.below


def _before(facts: Facts, index: int) -> str:
    return final(f"piston {facts.cylinders[index - 1].label}") if index else facts.closed


def _pin(facts: Facts) -> tuple[tuple[str, ...], tuple[str, ...], tuple[Evidence, ...]]:
    """What to do about the pin, its cautions, its evidence."""
    if facts.engine.pin is PinHold.PRESSED:
        return (
            (
                "Heat the small end as its maker says, push the pin to its stop in one go. It grips at once: no second try.",
                "The piston swings freely on its pin afterwards.",
            ),
            ("The small end is hot enough to burn and to light oil: gloves.",),
            (eyes("pin in the middle, piston swings freely"),),
        )
    return (
        (
            "Pin in by hand, oiled. A clip in each groove, new ones.",
            "Turn each clip in its groove with a blunt tool: one that turns is home. Gap at the top or the bottom, never at the groove's notch.",
        ),
        ("Clips jump: goggles, and a rag over the case's openings.",),
        (count("clips in their grooves", 2), photo("both clips, each turned in its groove")),
    )


def _on_rod(facts: Facts, at: Position) -> Step:
    words, cautions, evidence = _pin(facts)
    after: tuple[str, ...] = ()
    if facts.how.pistons_enter is PistonWay.BARREL:
        after = (facts.closed, final(f"rod {at.label}"))
    elif facts.below and facts.split:
        after = (final(f"rod {at.label}"), final("rod side"))
    return Step(
        key=final(f"piston {at.label} on its rod"), stage=Pass.FINAL, name=f"Piston {at.label} on its rod", group=GROUP, at=at, after=after,
        parts=facts.of(at, "piston", "pin", "rod"), tools=("clip tool", "goggles"), consumables=("new clips",) if len(evidence) > 1 else (),
        do=words, facing=(*PISTON_FACING, "rod numbers and big-end chamfer to their side before the pin goes in"),
        lubricant=PIN_OIL, cautions=cautions, evidence=evidence, closes=facts.held.closed_by(at, "pin in piston", "pin in bush", "pin press"),
    )  # fmt: skip


def _rings(facts: Facts, at: Position) -> Step:
    rings = facts.job.parts.get(facts.job.in_cylinder(at.number).rings) or Part(mark="", kind=PartKind.RINGS)
    pieces = elements_of(second=rings.second_ring, oil=rings.oil_ring, support=rings.support_rail)
    faces = {Element.TOP: rings.top_face, Element.SECOND: rings.second_face}
    ways = tuple(f"{piece}: {facing(facts.engine, piece, faces.get(piece, Face.MARKED))}" for piece in pieces)
    alone = facts.how.pistons_enter is PistonWay.ALONE
    seen = "marks towards the crown, gaps apart, expander ends butted" + (
        "" if alone else "; piston the right way round on its rod"
    )
    after = () if alone else (final(f"piston {at.label} on its rod"),)
    return Step(
        key=final(f"rings on piston {at.label}"), stage=Pass.FINAL, name=f"Rings on piston {at.label}, gaps where they belong", group=GROUP,
        at=at,
        after=after, parts=facts.of(at, "rings", "piston"), tools=("ring pliers with a stop",),
        do=(
            "From the bottom up: oil ring first, top ring last. Open each no further than it needs.",
            "Each ring turns in its groove. Set the gaps by the clocking picture.",
        ),
        facing=(*ways, "gaps by the clocking of this cylinder"), lubricant=f"{BY_MAKER}a drop of oil in each groove",
        cautions=("Ring edges cut.",),
        evidence=(eyes(seen), *facts.held.at(at, "top end gap", "second end gap")),
        closes=facts.held.closed_by(at, "top side clearance", "second side clearance"),
    )  # fmt: skip


def _entry(facts: Facts, at: Position) -> tuple[str, ...]:
    clean = "Wipe the wall once more with white cloth and thin oil: it stays white. Skirt and rings wet as their maker wants them."
    return (clean, *entry_words(facts.held.sizes, tuple(ring for ring in rings_of(facts.job) if ring.at == at)))


def _into_bore(facts: Facts, index: int) -> Step:
    match facts.how.pistons_enter:
        case PistonWay.BELOW:
            return _from_below(facts, facts.cylinders[index])
        case PistonWay.ALONE:
            return _alone(facts, index)
        case PistonWay.BARREL:
            return _barrel(facts, index)
        case _:
            return _from_above(facts, index)


def _after(facts: Facts, index: int, *more: str) -> tuple[str, ...]:
    at = facts.cylinders[index]
    angle = (final(f"crank set for cylinder {at.label}"),) if _set_first(facts, at) else ()
    return tuple(
        dict.fromkeys((facts.closed, final(f"rings on piston {at.label}"), _before(facts, index), *angle, *more))
    )


def _gone(facts: Facts, at: Position) -> tuple[str, ...]:
    names = ("wall clearance", "bore taper", "out-of-round", "bell-mouth", "top end gap", "second end gap")
    return facts.held.closed_by(at, *names)


def _from_above(facts: Facts, index: int) -> Step:
    at = facts.cylinders[index]
    torque, lubricant, evidence = rod_bolts(facts, at)
    return Step(
        key=final(f"piston {at.label}"), stage=Pass.FINAL, name=f"Piston {at.label} on its rod into the bore, rod joined", group=GROUP, at=at,
        after=_after(facts, index), parts=facts.of(at, "piston", "rings", "rod", "shells"),
        tools=("ring compressor or tapered sleeve", "wooden handle", "sleeves for rod bolts", "torque wrench or stretch gauge", "paint pen"),
        do=(
            "Throw at the bottom. Sleeves on bolts that stand in the rod: a thread scores the journal.",
            *_entry(facts, at),
            "Guide the rod to its journal with a hand from below.",
            *JOIN,
            TURN,
            STOP,
        ),
        facing=(*PISTON_FACING, *FACING), lubricant=f"{WALL_OIL}. {lubricant[:1].upper()}{lubricant[1:]}", torque=torque,
        cautions=(FINGERS,),
        evidence=(*evidence, *facts.held.after_stage(f"piston {at.label}")), closes=(*_gone(facts, at), *rod_closes(facts, at)),
    )  # fmt: skip


def _alone(facts: Facts, index: int) -> Step:
    at = facts.cylinders[index]
    words, cautions, evidence = _pin(facts)
    return Step(
        key=final(f"piston {at.label}"), stage=Pass.FINAL, name=f"Piston {at.label} into the bore alone, pin through the service hole",
        group=GROUP, at=at,
        after=_after(facts, index, final(f"rod {at.label}")), parts=facts.of(at, "piston", "rings", "pin"),
        tools=("ring compressor or tapered sleeve", "pin guide", "clip tool on a long handle", "mirror", "lamp", "magnet"),
        do=(
            "Clip on the far side before the piston goes in: through the hole only the near one can be reached.",
            *_entry(facts, at),
            "Slide the piston in until its pin bore stands before the hole, small end between the bosses. No ring may leave the bore at its foot.",
            "Pin in by hand, oiled, up to the far clip. Then the near clip, a new one.", *words[1:],
            "Look at both clips with mirror and lamp before the crank is turned.", TURN, STOP,
        ),
        facing=PISTON_FACING, lubricant=f"{WALL_OIL}. {PIN_OIL[:1].upper()}{PIN_OIL[1:]}",
        cautions=(*cautions, "A clip that falls into the case must be found: count them out and in.", FINGERS),
        evidence=(*evidence, eyes("arrow the right way, both clips seen with mirror and lamp"), *facts.held.after_stage(f"piston {at.label}")),
        closes=(*_gone(facts, at), *facts.held.closed_by(at, "pin in piston", "pin end play")),
    )  # fmt: skip


def _barrel(facts: Facts, index: int) -> Step:
    at = facts.cylinders[index]
    tight = facts.tight(Joint.BARRELS)
    return Step(
        key=final(f"piston {at.label}"), stage=Pass.FINAL, name=f"Barrel of cylinder {at.label} over its piston", group=GROUP, at=at,
        after=_after(facts, index), parts=facts.of(at, "piston", "rings"), tools=("open ring compressor", "fork to rest the piston on"),
        consumables=("base gasket or shims",),
        do=(
            "Rag round the rod, to keep what falls out of the case.",
            "Base gasket or shims as the mock-up left them: they set the height of the deck.", *_entry(facts, at),
            "Slide the barrel down straight; take the compressor away in two halves. Hold the barrel down before you turn the crank.", TURN, STOP,
        ),
        facing=PISTON_FACING, lubricant=WALL_OIL, torque=tight.lines if tight.told else (),
        cautions=("A barrel that is not held down lifts with its piston.", FINGERS),
        evidence=(
            count("rags out of the case"),
            *facts.held.after_stage(f"piston {at.label}"),
            *((paint("barrel nuts", tight),) if tight.told else ()),
        ),
        closes=_gone(facts, at),
    )  # fmt: skip


def _service_holes(facts: Facts) -> Step:
    return Step(
        key=final("service holes"), stage=Pass.FINAL, name="Holes through which the pins went in, closed", group=GROUP,
        after=(final(f"piston {facts.cylinders[-1].label}"),), tools=("lamp", "mirror"), consumables=("new seals or plugs",),
        do=(
            "Count clips, tools and rags first: nothing is left behind a hole. Look at every clip once more.",
            "Each hole shut with a new seal. One that is forgotten empties the oil.",
        ),
        lubricant=f"{BY_MAKER}a film of oil on an O-ring, sealant on a plug without one",
        evidence=(count("holes closed"), eyes("every clip seen, every hole closed")),
    )  # fmt: skip


def _from_below(facts: Facts, at: Position) -> Step:
    after = (final(f"rings on piston {at.label}"), final("plugs"), *((final("crank laid in"),) if facts.split else ()))
    open_foot = (
        ("A piston of the half on the bench went in as the crank came down: look that every ring is in.",)
        if facts.split
        else ("The crank is not in yet: the bore is open at its foot.",)
    )
    held = (
        ("A piston of the other half stands up, its compressor on, ready for the half that comes down over it.",)
        if facts.split
        else ("Push the piston towards the deck until the rod stands clear of the journal's place. Hold it there.",)
    )
    return Step(
        key=final(f"piston {at.label}"), stage=Pass.FINAL, name=f"Piston {at.label} on its rod into the bore from below", group=GROUP, at=at,
        after=after, parts=facts.of(at, "piston", "rings", "rod"), tools=("open ring compressor", "stand that turns the block over"),
        do=(
            *open_foot, *_entry(facts, at), *held,
        ),
        facing=(*PISTON_FACING, "rod numbers to their side"), lubricant=WALL_OIL,
        cautions=("A block on a stand must be locked before you reach under it.",),
        evidence=(eyes("all rings in the bore, piston the right way round"),), closes=_gone(facts, at),
    )  # fmt: skip
