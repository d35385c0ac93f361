"""Unit words: from what was typed to the unit meant, and a plain refusal where a word means two things.

Case is forgiven only where it cannot mislead: `MM` is taken for mm, but mPa is not taken for MPa.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from functools import cache

from blockwright.quantities.errors import QuantityError, excerpt, with_article
from blockwright.quantities.units import UNITS, Kind, Unit

_SAME_SIGN = str.maketrans(
    dict.fromkeys("µμ", "u")
    | dict.fromkeys("º˚", "°")
    | dict.fromkeys("″”“", '"')
    | dict.fromkeys("′’", "'")
    | dict.fromkeys("⋅•∙×*", "·")
    | dict.fromkeys("⁻‐‑−", "-")
    | dict.fromkeys("()", " ")
    | {"²": "2", "³": "3", "¹": "1", "℃": "°C", "℉": "°F"}
)
_AROUND_SIGNS = re.compile(r"\s*([/^])\s*")
_BETWEEN_WORDS = re.compile(r"(?<=[A-Za-z.])[-·. ]+(?=[A-Za-z])")

_OFFERED = 5
_PRESSURE_WORDS = ("bar", "psi", "kpa", "mbar", "hpa", "mpa", "pa", "lb/in2", "lbf/in2")
_MIL = ("is a thousandth of an inch in some shops and a millimetre in others.", "Write thou or mm.")
_NM = ("is a nanometre, or a torque that lost its capital N.", "Write mm, um or in for a length.")
_METRE = ("could be a metre or a million.", "Write m for metres, or mm.")
_ARM = ("is a weight without its arm.", "Write ft-lb, in-lb or Nm.")
_KG_FORCE = ("is a mass; a force is wanted.", "Write N or kgf.")
_MILLIPASCAL = ("is a thousandth of a pascal.", "Write MPa, with a capital M, for megapascals.")
_WHICH_DEGREE = ("does not say which degree.", "Write °C or °F.")

# What a word would mean twice: by kind, as typed, and whatever its case.
_TRAPS: dict[Kind, dict[str, tuple[str, str]]] = {
    Kind.LENGTH: {"M": _METRE, "nm": _NM},
    Kind.PRESSURE_STEP: {"mPa": _MILLIPASCAL},
    Kind.PRESSURE: {"mPa a": _MILLIPASCAL, "mPa g": _MILLIPASCAL},
}
_TRAPS_ANY_CASE: dict[Kind, dict[str, tuple[str, str]]] = {
    Kind.LENGTH: {
        "mil": _MIL,
        "mils": _MIL,
        "'": ("is a foot or a minute of arc.", "Write in or mm."),
        "hundredths": ("could be of a millimetre or of an inch.", "Write mm or in."),
    },
    Kind.ROUGHNESS: {"nm": ("is finer than roughness is written here.", "Write um or uin."), "mil": _MIL},
    Kind.TORQUE: dict.fromkeys(("lb", "lbs", "lbf", "kg"), _ARM),
    Kind.MASS: {"gr": ("is a grain to some and a gram to others.", "Write g for grams.")},
    Kind.FORCE: {"kg": _KG_FORCE},
    Kind.TEMPERATURE: {"°": _WHICH_DEGREE, "deg": _WHICH_DEGREE, "degrees": _WHICH_DEGREE},
    Kind.TEMPERATURE_STEP: {"°": _WHICH_DEGREE, "deg": _WHICH_DEGREE, "degrees": _WHICH_DEGREE},
}


def unit_key(written: str) -> str:
    """The word with look-alike signs made one, and one space for any hyphen, dot or gap between two words."""
    text = " ".join(written.translate(_SAME_SIGN).split())
    text = _AROUND_SIGNS.sub(r"\1", text)
    return _BETWEEN_WORDS.sub(" ", text).rstrip(".")


def find_unit(kind: Kind, written: str) -> Unit:
    """The unit of this kind that is meant by a word.

    Raises QuantityError where the word is unknown, belongs to another kind, or means two things.
    """
    key = unit_key(written)
    exact, any_case = _words(kind)
    trap = _TRAPS.get(kind, {}).get(key)
    if trap is None and key in exact:
        return exact[key]
    folded = key.casefold()
    trap = trap or _TRAPS_ANY_CASE.get(kind, {}).get(folded)
    if trap is not None:
        raise QuantityError("unit-unclear", f"'{excerpt(written)}' {trap[0]}", trap[1])
    if folded in any_case:
        return any_case[folded]
    raise _not_of_kind(kind, written, folded)


def known_units(kind: Kind) -> tuple[str, ...]:
    """Canonical unit names of a kind, in the order to offer. A plain ratio has the empty name."""
    return tuple(unit.name for unit in UNITS[kind])


def convert(value: float, kind: Kind, from_unit: str, to_unit: str) -> float:
    """A number of one unit as a number of another of its kind. Raises QuantityError for a unit the kind lacks."""
    start, end = find_unit(kind, from_unit), find_unit(kind, to_unit)
    if start is end:
        return value
    return end.number(value * start.scale + start.shift)


def unit_anywhere(name: str) -> Unit:
    """The first unit of any kind with this name or spelling. Raises QuantityError where no kind has it."""
    for kind in UNITS:
        unit = _words(kind)[0].get(unit_key(name))
        if unit is not None:
            return unit
    raise QuantityError(
        "unit-unknown", f"'{excerpt(name)}' is no unit known here.", "Use a unit from the list of units."
    )


@cache
def _words(kind: Kind) -> tuple[dict[str, Unit], dict[str, Unit]]:
    """Every spelling of the units of a kind: as it stands, and in lower case where that leaves no doubt."""
    exact = {key: unit for unit in UNITS[kind] for key in _spellings(unit)}
    meant = Counter(folded for folded, _ in {(key.casefold(), unit.name) for key, unit in exact.items()})
    any_case = {key.casefold(): unit for key, unit in exact.items() if meant[key.casefold()] == 1}
    return exact, any_case


def _spellings(unit: Unit) -> Iterator[str]:
    for name in (unit.name, *unit.aliases):
        key = unit_key(name)
        yield key
        yield key.replace(" ", "")


def _not_of_kind(kind: Kind, written: str, folded: str) -> QuantityError:
    shown = excerpt(written)
    if kind is Kind.PRESSURE and folded in _PRESSURE_WORDS:
        what = f"'{shown}' does not say whether the pressure is gauge (above the atmosphere) or absolute."
        return QuantityError("gauge-or-absolute", what, f"Write {shown} g or {shown} a.")
    mend = f"Write it {_offer(kind)}."
    others = [str(other) for other in UNITS if folded and folded in _words(other)[1]]
    if others:
        return QuantityError(
            "unit-of-another-kind",
            f"'{shown}' is a unit of {others[0]}; {with_article(kind)} is wanted.",
            mend,
        )
    return QuantityError("unit-unknown", f"'{shown}' is no unit of {kind} known here.", mend)


def _offer(kind: Kind) -> str:
    *names, last = filter(None, known_units(kind)[:_OFFERED])
    offered = f"in {', '.join(names)} or {last}"
    return f"{offered}, or as a plain number" if kind is Kind.RATIO else offered
