"""What is plausible of a limit or a gauge's figures: outside it a builder is asked what he meant, never put right.

All of these spans are assumed: wide enough for any engine and gauge of the trade, narrow enough to catch a wrong unit.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from blockwright.engine.layout import Engine
from blockwright.fits.fit import Fit
from blockwright.fits.words import Scale
from blockwright.problems import Problem
from blockwright.quantities import Kind, QuantityError, parse, plausible
from blockwright.quantities.declared import Written

LIMIT_OF_SCALE: Mapping[Scale, tuple[str, str]] = {
    Scale.CLEARANCE: ("0 mm", "1.5 mm"), Scale.SIZE: ("5 mm", "200 mm"), Scale.ROUGHNESS: ("0 um", "50 um"),
    Scale.TORQUE: ("0 Nm", "300 Nm"),
}  # fmt: skip
"""Pressures and stresses are not asked about: what metal bears differs too much."""
LIMIT_OF_FIT: Mapping[str, tuple[str, str]] = {
    "piston to deck": ("-4 mm", "12 mm"), "pin end play": ("-1 mm", "5 mm"), "rod side": ("0 mm", "3 mm"),
    "top end gap": ("0 mm", "3 mm"), "second end gap": ("0 mm", "3 mm"), "upper rail gap": ("0 mm", "3 mm"),
    "lower rail gap": ("0 mm", "3 mm"), "top back clearance": ("0 mm", "5 mm"), "second back clearance": ("0 mm", "5 mm"),
    "turning torque rise": ("-50 Nm", "300 Nm"),
}  # fmt: skip
OF_SIZE = 0.04
"""A limit of size lies this near to the nominal size of a journal or bore."""
FIGURES: Mapping[Kind, tuple[str, str]] = {
    Kind.LENGTH: ("0 mm", "0.1 mm"), Kind.ROUGHNESS: ("0 um", "2 um"), Kind.TORQUE: ("0 Nm", "20 Nm"),
}  # fmt: skip
"""A gauge's certificate and repeatability."""


@cache
def _si(kind: Kind, span: tuple[str, str]) -> tuple[float, float]:
    low, high = (parse(text, kind, signed=True).si for text in span)
    return low, high


def limit_span(fit: Fit, engine: Engine | None) -> tuple[float, float] | None:
    """From where to where a limit of a fit is plausible, SI; `None` where nothing is held. Signed fits go below nil."""
    nominal = fit.size(engine) if engine is not None and fit.scale is Scale.SIZE else None
    if nominal is not None:
        return (1.0 - OF_SIZE) * nominal, (1.0 + OF_SIZE) * nominal
    span = LIMIT_OF_FIT.get(fit.name) or LIMIT_OF_SCALE.get(fit.scale)
    if span is None:
        return None
    low, high = _si(fit.kind, span)
    return (min(low, -high) if fit.signed and fit.name not in LIMIT_OF_FIT else low), high


def doubt(record: Written, key: str, kind: Kind, span: tuple[float, float] | None, what: str) -> Problem | None:
    """What may have been meant by a value typed for a key of a record, where it lies outside a span."""
    typed = record.entered.get(key)
    if span is None or typed is None or not isinstance(typed.raw, str):
        return None
    try:
        quantity = parse(typed.raw, kind, signed=True)
    except QuantityError:
        return None  # told where it was read
    return plausible(quantity, *span, what=what, unit=quantity.unit)


def figure_span(kind: Kind) -> tuple[float, float] | None:
    """From where to where a certificate's uncertainty or a repeatability is plausible, SI."""
    return _si(kind, FIGURES[kind]) if kind in FIGURES else None
