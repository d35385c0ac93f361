"""What the engine at work rests on: assumed inputs and ways of heat, from the very tables that the calculation reads."""

from __future__ import annotations

from blockwright.materials.at_work import (
    Assumed,
    HeatLaw,
    assumptions,
    conductivities,
    heat_laws,
    liner_resistances,
    rubbing,
)
from house_pages.markdown import plain, sentence, table

LAWS = {
    "disc": "8 pi k × 0.085 B", "shell": "k × pi × 0.06 B", "rim": "{value:g} W/(m K) × pi B", "skirt": "{value:g} W/(m² K) × 0.35 B²",
    "under": "{value:g} W/(m² K) × 0.9 pi B²/4", "inside": "{value:g} W/(m² K) × 0.4 pi B²", "head": "{value:g} W/(m² K) × 1.2 pi B²/4",
    "wall": "{value:g} W/(m² K) × pi × 1.12 B × height", "along": "k × pi B × 0.07 B / distance", "oil": "{value:g} W/(m² K) × pi B × height",
}  # fmt: skip
WHEN = {"": "", "jets": "with oil jets", "liquid": "liquid cooling", "finned": "fins"}


def inputs(words: str) -> str:
    """Every assumed input."""
    rows = [
        (plain(each.words), _value(each), _spread(each), plain(sentence(each.ground)))
        for each in assumptions().values()
    ]
    return table(("input", "value", "standard uncertainty", "ground"), rows, "stacks")


def ways(words: str) -> str:
    """Every way of heat, and what a liner adds to it."""
    rows = [
        (plain(law.name), plain(_law(law)), f"{100.0 * law.spread:.0f} %", plain(sentence(law.source)))
        for law in heat_laws()
    ]
    listed = table(("way of heat", "conductance", "spread", "source"), rows, "stacks")
    metals = table(
        ("metal", "k, W/(m K), from memory"), [(name, f"{value:g}") for name, value in conductivities().items()]
    )
    liners = table(
        ("liner", "added to the way from bore to coolant, m² K/W"),
        [(name, f"{value:g}") for name, value in liner_resistances().items()],
    )
    rubbed = rubbing()
    dealt = ", ".join(f"{place.replace('_', ' ')} {100.0 * share:.0f} %" for place, share in rubbed.dealt.items())
    rub = f"Rubbing of piston and rings: {100.0 * rubbed.of_friction:.0f} % of the friction that does not grow with the square of the speed "
    return f"{listed}\n{metals}\n{liners}\n{rub}(give or take {100.0 * rubbed.spread:.0f} %), dealt out: {dealt}. {sentence(plain(rubbed.source))}\n"


def _law(law: HeatLaw) -> str:
    told = LAWS[law.law].format(value=law.value)
    return f"{told} ({WHEN[law.when]})" if law.when else told


def _value(each: Assumed) -> str:
    if not each.value:
        return "as given" if each.share else "0"
    return f"{each.value:g} {each.unit}".strip()


def _spread(each: Assumed) -> str:
    if each.share:
        return f"{100.0 * each.share:g} %"
    return f"{each.u:g} {each.unit}".strip() if each.u else "taken as exact"


MAKERS = {"assumed_inputs": inputs, "ways_of_heat": ways}
