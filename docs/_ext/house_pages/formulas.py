"""The list of formulas: every one with what it asks for, its equation and its source, from the descriptions that `reckon` uses."""

from __future__ import annotations

from blockwright.report.formulas.described import Formula, Input, by_group, described, short
from blockwright.report.formulas.reckoned import default_told
from blockwright.report.formulas.table import NOT_OFFERED, Group
from house_pages.markdown import code, facts, first_large, plain, sentence, table


def listing(words: str) -> str:
    """Every formula on one line, by what it serves, with a link to its own part."""
    return "\n".join(_short(group) for group in Group)


def told(words: str) -> str:
    """Every formula in full."""
    parts = (
        f"## {first_large(group)}\n\n" + "\n".join(_told(described(each)) for each in found)
        for group, found in by_group().items()
    )
    return "\n".join(parts)


def left_out(words: str) -> str:
    """What the physics floor has and `reckon` does not, and why."""
    return table(("function", "why not"), [(code(where), plain(why)) for where, why in NOT_OFFERED.items()], "stacks")


def _short(group: Group) -> str:
    rows = [(f"[{each.slug}](formulas.md#{each.slug})", plain(sentence(short(each)))) for each in by_group()[group]]
    return f"**{first_large(group)}**\n\n{table(('formula', 'what it gives'), rows, 'stacks')}"


def _told(formula: Formula) -> str:
    head = f"### {formula.offered.name}\n\n{plain(sentence(formula.what))}\n\n"
    rows = [(code(one.key), plain(one.symbol), _unit(one), plain(_meant(one))) for one in formula.inputs]
    return (
        head
        + table(("input", "symbol", "unit", "meaning"), rows, "stacks")
        + "\n"
        + facts(
            (
                ("formula", plain(_flat(formula.notes))),
                ("more", plain(_flat(formula.more))),
                ("source", plain(_flat(formula.sources))),
                ("checked", plain(formula.standing)),
                ("serves", ", ".join(formula.offered.fits)),
            )
        )
    )


def _unit(one: Input) -> str:
    if one.choices:
        return " or ".join(one.choices)
    return plain(one.measure.symbol) or ("as typed" if one.text else "plain number")


def _meant(one: Input) -> str:
    usual = "" if one.wanted else f" ({default_told(one)} unless given)"
    return f"{one.meaning.rstrip('.')}{usual}".strip()


def _flat(text: str) -> str:
    return " ".join(text.split())


MAKERS = {"formulas": listing, "formulas_told": told, "formulas_left_out": left_out}
