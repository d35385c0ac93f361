"""The builder's own rules: limits with their authority, how the shop decides, and the units it thinks in."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from enum import StrEnum

from blockwright.metrology.verdict import Acceptance
from blockwright.problems import Place
from blockwright.quantities import Kind
from blockwright.quantities.declared import Written, entry, quantity


class Authority(StrEnum):
    """Who says so, strongest first. A computed bound is outside this order: it may only tighten a hard side."""

    BUILDER = "builder"
    MAKER = "part maker"
    MANUAL = "engine manual"
    PRACTICE = "common practice"
    COMPUTED = "computed"


class Side(StrEnum):
    """Which side of a fit does harm when it is passed."""

    LOW = "low"
    HIGH = "high"
    BOTH = "both"
    NEITHER = "neither"


@dataclass(frozen=True, kw_only=True)
class LimitRow(Written):
    """One line of a maker's table by size."""

    to_m: float = quantity(Kind.LENGTH, "up to and including this bore or journal")
    low_si: float | None = quantity(None, "low limit", kind_from="fit", signed=True, default=None)
    aim_si: float | None = quantity(None, "aim", kind_from="fit", signed=True, default=None)
    high_si: float | None = quantity(None, "high limit", kind_from="fit", signed=True, default=None)


@dataclass(frozen=True, kw_only=True)
class LimitRule(Written):
    """One source's limits for a fit: as values, per size (mm per mm of bore or journal), or as a table by size."""

    fit: str = entry("name of the fit")
    at: str = entry("position: 'cylinder 3'; every position where not given", default="")
    authority: Authority = entry("builder, part maker or engine manual")
    source: str = entry("which sheet, page or note", default="")
    by: str = entry("builder's own rule: who signs it", default="")
    why: str = entry("builder's own rule: reason", default="")
    hard: Side | None = entry(
        "which side does harm: low, high, both or neither; the fit's own where not given", default=None
    )
    low_si: float | None = quantity(None, "low limit", kind_from="fit", signed=True, default=None)
    aim_si: float | None = quantity(None, "aim", kind_from="fit", signed=True, default=None)
    high_si: float | None = quantity(None, "high limit", kind_from="fit", signed=True, default=None)
    low_per_size: float | None = quantity(
        Kind.RATIO, "low limit per size: 0.0045 is 4.5 thou an inch of bore", default=None
    )
    aim_per_size: float | None = quantity(Kind.RATIO, "aim per size", default=None)
    high_per_size: float | None = quantity(Kind.RATIO, "high limit per size", default=None)
    tolerance_class: str = entry(
        "limits of size by ISO 286 about the nominal size: 'H6' for a hole, 'g6' for a shaft", default=""
    )
    by_size: tuple[LimitRow, ...] = entry("table by size", default=())


class Units(StrEnum):
    """The units in which a shop thinks."""

    METRIC = "metric"
    INCH = "inch"


@dataclass(frozen=True, kw_only=True)
class ShopRules(Written):
    """How the shop decides, what its thermometer is worth, and how numbers are shown."""

    level: float = quantity(Kind.RATIO, "probability wanted for a verdict", span=("0.5", "0.9999"), default=0.95)
    acceptance: Acceptance = entry(
        "guarded: proof either way, else undecided; plain: the reading at its word",
        default=Acceptance.GUARDED,
    )
    thermometer_k: float = quantity(
        Kind.TEMPERATURE_STEP,
        "half-width of what the thermometer may be off",
        unit="K",
        span=("0 K", "10 K"),
        default=1.0,
    )
    touch: float = quantity(
        Kind.RATIO, "chance of a ring's ends touching hot that is put up with", span=("0.00001", "0.1"), default=0.001
    )
    units: Units = entry("metric or inch", default=Units.METRIC)


class Accepted(StrEnum):
    """How a fit that is not proven inside was let through."""

    CONCESSION = "concession"
    JUDGEMENT = "judgement"


@dataclass(frozen=True)
class Record:
    """A signed acceptance of one fit: what it was, who accepted it and why. `digest` seals it to the one before."""

    number: int
    event: Accepted
    fit: str
    at: str
    value_si: float
    value_text: str
    by: str
    when: dt.date | None
    why: str
    digest: str = ""
    place: Place = field(default=Place(), compare=False)
