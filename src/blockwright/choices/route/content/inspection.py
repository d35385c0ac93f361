"""Inspection on the bench, before anything is put together: parts, block, bores, crank, shells, rods, pistons, rings."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.choices.route.content.facts import CLEAN_OIL, Facts, count, dry, eyes
from blockwright.choices.route.step import Pass, Step
from blockwright.engine.fasteners import Joint
from blockwright.engine.layout import Case, PinHold
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Position
from blockwright.fits.registry import REGISTRY

CLOSED = {
    Case.CAPS: ("cap on and tight", Joint.MAIN_CAPS),
    Case.BEDPLATE: ("bedplate on and tight", Joint.BEDPLATE),
    Case.SPLIT: ("both halves of the case bolted up", Joint.CASE),
}
GROUP, BENCH = "Inspection", "On the bench"
RING_FITS = tuple(fit.name for fit in REGISTRY.values() if fit.group == "rings")


def steps(facts: Facts) -> Iterator[Step]:
    """Everything that is looked at and measured before the mock-up."""
    yield _parts(facts)
    yield _block(facts)
    yield from (_bore(facts, at) for at in facts.cylinders)
    yield _crank(facts)
    yield from (_main_shells(facts, at) for at in facts.mains)
    for at in facts.cylinders:
        yield _rod(facts, at)
        yield _piston(facts, at)
        yield _rings(facts, at)


def _parts(facts: Facts) -> Step:
    listed = facts.job.sheet.part
    taken = tuple(
        f"Nobody said it, so it is taken that {words}. If that is wrong, mend [assembly]."
        for words in facts.job.sheet.assembly.taken(facts.engine)
    )
    return Step(
        key=dry("parts"), stage=Pass.MOCK_UP, name="Parts against the list and the work order", group=GROUP,
        tools=("list of parts", "work order", "paint pen", "bags"),
        do=(
            "Lay everything out. Hold each part against the list and against what was ordered.",
            "Give every part its mark. Bag small parts by cylinder.",
            "Send back what is wrong now, not when the case is open.",
            *taken,
        ),
        cautions=("Block and crank are heavy: use a hoist or a second pair of hands.", "Machined edges and ring ends cut."),
        evidence=(count("parts found and marked", len(listed) or None),),
    )  # fmt: skip


def _block(facts: Facts) -> Step:
    tight = facts.tight(Joint.PLUGS)
    return Step(
        key=dry("block"), stage=Pass.MOCK_UP, name="Block or case: plugs out, oilways open, faces sound", group=GROUP,
        after=(dry("parts"),), parts=facts.one(PartKind.BLOCK),
        tools=("brushes of each oilway's size", "lamp", "straight edge", "thread chaser"), consumables=("detergent", "oil", "white cloth"),
        do=(
            "Take every oilway plug out, also the small ones. Count them.",
            "Push a brush through each oilway from end to end. Look through it with a lamp.",
            "Look for cracks, pulled threads, burrs at oil holes. Chase threads by hand; never cut them deeper.",
            "Wash the block before you measure, oil it after: grit and oil both read as size.",
            *(("The old plugs are thrown away.",) if tight.one_use else ()),
        ),
        cautions=("Wear goggles when you blow through oilways.",),
        evidence=(
            count("plugs taken out"),
            *facts.held.everywhere("deck flatness", "tunnel alignment", "main housing out-of-round"),
        ),
    )  # fmt: skip


def _bore(facts: Facts, at: Position) -> Step:
    plate = "with the torque plate on" if facts.engine.torque_plate else "without a torque plate"
    drawn = facts.tight(Joint.HEADS)
    bolted = (
        ("Plate on with the head's own bolts and a gasket under it, drawn as the head will be.",)
        if facts.engine.torque_plate
        else ()
    )
    return Step(
        key=dry(f"bore {at.label}"), stage=Pass.MOCK_UP, name=f"Bore {at.label} with its piston", group=GROUP, at=at,
        after=(dry("block"),), parts=(*facts.one(PartKind.BLOCK), *facts.of(at, "piston")),
        tools=("bore gauge", "outside micrometer", *(("torque plate",) if facts.engine.torque_plate else ())),
        do=(
            *bolted,
            f"Read the bore {plate}, at three heights, along and across.",
            "Read the skirt at its maker's gauge height, on the same day, at the same temperature.",
            "Cut the bore first if it is out: rings filed before a hone are wasted.",
        ),
        lubricant="threads: " + drawn.lubricant if bolted else "", torque=drawn.dry_lines if bolted else (),
        evidence=facts.held.at(
            at, "wall clearance", "coated wall clearance", "bore taper", "out-of-round", "bell-mouth", "bore finish"
        ),
    )  # fmt: skip


def _crank(facts: Facts) -> Step:
    return Step(
        key=dry("crank"), stage=Pass.MOCK_UP, name="Crank: journals, run-out, oilways", group=GROUP, after=(dry("parts"),),
        parts=facts.one(PartKind.CRANK), tools=("outside micrometer", "two blocks", "dial indicator", "oilway brush"),
        do=(
            "Read each journal near both fillets, two ways.",
            "Run a finger nail along each journal: what it feels, the shell feels.",
            "Set the end mains on blocks and read the run-out of the others.",
            "Take the crank's own plugs out, if it has any, and brush the oilways.",
        ),
        cautions=("Lift the crank with two people or a sling; it rolls off a bench.",),
        evidence=facts.held.everywhere(
            "main journal size", "main journal taper", "main journal out-of-round", "main journal finish",
            "rod journal size", "rod journal taper", "rod journal out-of-round", "rod journal finish", "crank runout",
        ),
    )  # fmt: skip


def _main_shells(facts: Facts, at: Position) -> Step:
    closed, joint = CLOSED[facts.engine.case]
    tight = facts.tight(joint)
    return Step(
        key=dry(f"main {at.label} shells"), stage=Pass.MOCK_UP, name=f"Shells of main {at.label}: film clearance", group=BENCH, at=at,
        after=(dry("block"), dry("crank")), parts=facts.job.in_main(at.number).shells,
        tools=("bore gauge", "torque wrench", "ball-end micrometer"),
        do=(
            "Wipe the seat and the shell's back dry: oil or grit behind a shell makes it small.",
            f"Shells in, {closed}, in its stages. Read square to the parting line, without the crank.",
            "Write down which shell was where. They stay there.",
        ),
        facing=("oil holes over oil holes", "tang in its slot", "the grooved half where the oil comes in"),
        lubricant="back of the shell dry; for measuring the face dry too; threads: " + tight.lubricant, torque=tight.dry_lines,
        evidence=facts.held.at(at, "main film", "main shell crush"),
    )  # fmt: skip


def _rod(facts: Facts, at: Position) -> Step:
    return Step(
        key=dry(f"rod {at.label}"), stage=Pass.MOCK_UP, name=f"Rod {at.label}: big end, small end, shells", group=BENCH, at=at,
        after=(dry("crank"),), parts=facts.of(at, "rod", "shells", "pin"),
        tools=("rod vice", "bore gauge", "torque wrench or stretch gauge", "outside micrometer"),
        do=(
            "Rod and cap have the same number: never change caps.",
            "Hold the rod in a rod vice with soft jaws, not in your hand, when you tighten it.",
            "Shells in, bolts tight, read square to the parting line.",
        ),
        facing=("numbers of rod and cap on the same side", "tangs of both shells on the same side", "oil hole over oil hole"),
        lubricant="threads: " + facts.tight(Joint.RODS).lubricant, torque=facts.tight(Joint.RODS).dry_lines,
        evidence=facts.held.at(
            at, "rod film", "rod shell crush", "big-end size", "big-end out-of-round", "small-end size", "pin in bush", "pin press"
        ),
    )  # fmt: skip


def _piston(facts: Facts, at: Position) -> Step:
    floating = facts.engine.pin is PinHold.FLOATING
    fits = facts.held.at(at, "pin in piston", "pin end play")
    return Step(
        key=dry(f"pin {at.label}"), stage=Pass.MOCK_UP, name=f"Piston {at.label} and its pin", group=BENCH, at=at,
        after=(dry("parts"),), parts=facts.of(at, "piston", "pin"), tools=("bore gauge", "outside micrometer", "depth gauge"),
        do=(
            "Look at the crown for its arrow or mark, and at the valve pockets: this piston for this side.",
            "Push the pin in by hand, oiled. It slides, and does not fall."
            if floating
            else "The pin turns freely in the piston; it is held by the rod.",
            *(("Try a clip in each groove: it snaps home and no finger gets it out.",) if floating else ()),
        ),
        lubricant=CLEAN_OIL, evidence=fits or (eyes("pin moves freely in the piston"),),
    )  # fmt: skip


def _rings(facts: Facts, at: Position) -> Step:
    return Step(
        key=dry(f"rings {at.label}"), stage=Pass.MOCK_UP, name=f"Rings for cylinder {at.label}: gaps and grooves", group=BENCH, at=at,
        after=(dry(f"bore {at.label}"), dry(f"pin {at.label}")), parts=facts.of(at, "rings", "piston"),
        tools=("ring grinder", "feeler blades", "piston or stop to square the ring", "fine stone"),
        do=(
            f"Push each ring down square in its own bore{', torque plate on,' if facts.engine.torque_plate else ''} and read the gap.",
            "File one end only, from the coated face inwards. Ends parallel. Take the burr off, wipe, let it cool, read again.",
            "A ring that was filed stays with its bore: bag it with the number.",
            "Try each ring in its groove all round: free everywhere, no rock.",
        ),
        facing=("mark towards the crown, also while you measure",),
        cautions=("Ring ends and grinder throw grit: goggles. Ring edges cut.", "What was filed off cannot be put back."),
        evidence=facts.held.at(at, *RING_FITS),
    )  # fmt: skip
