"""Taken down again on purpose, and washed: the last time that anything is clean from inside.

Solvent alone leaves hone grit in the wall; hot detergent and a brush lift it out (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.choices.route.content.facts import Facts, count, eyes, wash
from blockwright.choices.route.step import Pass, Step
from blockwright.engine.parts import PartKind

GROUP = "Strip and wash"
BURNS = "Hot detergent burns: gloves, goggles. Solvents: open door, no flame."


def steps(facts: Facts, mock_up_ends: tuple[str, ...]) -> Iterator[Step]:
    """Strip and wash; the last of these steps is the one that the final assembly waits for."""
    yield Step(
        key=wash("taken down"), stage=Pass.STRIP, name="Taken down, everything marked", group=GROUP, after=mock_up_ends,
        tools=("bags", "paint pen", "trays"),
        do=(
            "Take the mock-up apart. Shells, rods, pistons and rings go to the bag of their place.",
            "Write down shims, gasket thickness, pushrod length, cam key: all that the mock-up was for.",
            "Throw bolts away that are for one use and were tight.",
        ),
        cautions=("Let springs down slowly. Lift heavy parts with a hoist.",), evidence=(count("bags, one a cylinder", facts.engine.cylinders),),
    )  # fmt: skip
    yield Step(
        key=wash("block"), stage=Pass.STRIP, name="Block or case washed", group=GROUP, after=(wash("taken down"),),
        parts=facts.one(PartKind.BLOCK), tools=("bore brush", "oilway brushes", "hot water"),
        consumables=("detergent", "white cloth", "thin oil"),
        do=(
            "Scrub each bore with hot water, detergent and a stiff brush until the suds stay white. Then the oilways, each from both ends.",
            "Solvent alone will not do: it leaves hone grit in the wall.",
            "Rinse hot, blow dry, oil the bores at once: bare iron rusts in minutes.",
            "Wipe each bore with white cloth and oil. Grey? Scrub again.",
        ),
        cautions=(BURNS, "Compressed air in an oilway throws grit: goggles, and nobody at the other end."),
        evidence=(eyes("white cloth stays white in every bore and oilway"),),
    )  # fmt: skip
    yield Step(
        key=wash("crank"), stage=Pass.STRIP, name="Crank washed", group=GROUP, after=(wash("taken down"),), parts=facts.one(PartKind.CRANK),
        tools=("oilway brushes",), consumables=("detergent", "white cloth", "thin oil"),
        do=("Brush every oilway, rinse, blow through, oil the journals at once.", "Crank plugs back in and secured, if they were out."),
        cautions=(BURNS,), evidence=(eyes("white cloth stays white on journals and in oilways"),),
    )  # fmt: skip
    yield Step(
        key=wash("small parts"), stage=Pass.STRIP, name="Rods, pistons, pins, rings, shells, bolts washed", group=GROUP,
        after=(wash("taken down"),),
        parts=tuple(mark for at in facts.cylinders for mark in facts.of(at, "piston", "pin", "rings", "rod", "shells")),
        consumables=("detergent", "thin oil"),
        do=(
            "Pistons and rings: warm soapy water, soft brush, no wire. Oil drain holes open.",
            "Rods: seats of the shells and oil holes clean. Shells: wipe only, never scrape.",
            "Bolts: threads clean and dry.",
            "Pump, pick-up, covers, sump, lifters, drive of the cams: washed too, oilways blown through.",
            "Back in their bags by cylinder.",
        ),
        cautions=(BURNS, "Ring edges cut."),
    )  # fmt: skip
    heads = (wash("heads"),) if facts.how.heads else ()
    if heads:
        yield _heads()
    yield Step(
        key=wash("bench clean"), stage=Pass.STRIP, name="Bench clean, all washed parts covered", group=GROUP,
        after=(wash("block"), wash("crank"), wash("small parts"), *heads), consumables=("clean sheets", "lint-free cloth"),
        do=("Sweep, wash the bench, change gloves. Cover what waits.", "Count rags and brushes: from here on each one that goes in comes out."),
        evidence=(count("rags and brushes laid out, none left in an oilway"),),
    )  # fmt: skip


def _heads() -> Step:
    return Step(
        key=wash("heads"), stage=Pass.STRIP, name="Heads washed, built with their own springs, valves tight", group=GROUP,
        after=(wash("taken down"),),
        tools=("spring press", "depth gauge", "soft hammer"), consumables=("detergent", "thin oil", "new stem seals"),
        do=(
            "The light springs of the mock-up out. Wash the heads, blow through oilways and every bolt hole.",
            "Each valve in its own guide, new stem seals, the springs that belong here at the height that their maker says.",
            "Tap each stem with a soft hammer: the locks seat, or they fly now and not later.",
            "Fill each port with thin fluid, or draw on it: a valve that weeps is ground in again.",
        ),
        lubricant="by the maker's word; else common practice: clean engine oil on the stems",
        cautions=(BURNS, "Springs are under load: goggles, and never your face over one."),
        evidence=(count("valves tried, none weeps"), eyes("locks home in every retainer")),
    )  # fmt: skip
