"""Which limit holds: several sources for each side of a fit, the deciding one marked, the others kept in sight.

Each side is decided on its own by the strongest authority that states it: builder's signed rule > part maker > engine manual > common
practice. A computed bound may only tighten a hard side. Sources that exclude each other leave an empty window: reported, never averaged.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockwright.engine.rules import Authority, LimitRule, Side
from blockwright.physics.iso286 import limits_of_size

RANK = {authority: rank for rank, authority in enumerate(Authority)}


@dataclass(frozen=True)
class Offer:
    """What one source says: low, aim, high (SI), each `None` where it is silent."""

    authority: Authority
    source: str
    low: float | None = None
    aim: float | None = None
    high: float | None = None
    hard: Side | None = None


@dataclass(frozen=True)
class Bound:
    """One side of the limits that hold, who decided it, and whether passing it does harm."""

    value: float
    authority: Authority
    source: str
    hard: bool

    @property
    def said_by(self) -> str:
        """Who says so, with the source where it is named."""
        return f"{self.authority} ({self.source})" if self.source else str(self.authority)


@dataclass(frozen=True)
class Limits:
    """The limits that hold, and every offer they were chosen from."""

    low: Bound | None = None
    high: Bound | None = None
    aim: float | None = None
    offers: tuple[Offer, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def known(self) -> bool:
        """Whether any side is limited."""
        return self.low is not None or self.high is not None

    @property
    def empty(self) -> bool:
        """Whether the two sides exclude each other."""
        return self.low is not None and self.high is not None and self.low.value >= self.high.value

    @property
    def low_value(self) -> float | None:
        """The low limit, SI."""
        return self.low.value if self.low else None

    @property
    def high_value(self) -> float | None:
        """The high limit, SI."""
        return self.high.value if self.high else None


def resolve(offers: Sequence[Offer], hard: Side) -> Limits:
    """The limits that hold, from all offers and the side of the fit that does harm."""
    stated = sorted((o for o in offers if o.authority is not Authority.COMPUTED), key=lambda o: RANK[o.authority])
    computed = [o for o in offers if o.authority is Authority.COMPUTED]
    hard = next((offer.hard for offer in stated if offer.hard), hard)
    notes: list[str] = []
    low = _tightened(_bound(stated, "low", hard), computed, "low", hard, notes)
    high = _tightened(_bound(stated, "high", hard), computed, "high", hard, notes)
    aim = _aim(stated)
    limits = Limits(low, high, aim, (*stated, *computed), tuple(notes))
    if limits.empty and low and high:
        note = f"no window is left: {low.said_by} and {high.said_by} exclude each other"
        return Limits(low, high, aim, limits.offers, (*notes, note))
    return Limits(low, high, _aim_inside(aim, low, high), limits.offers, tuple(notes))


def offer_from(rule: LimitRule, size: float | None) -> Offer:
    """What a rule of the job says at a bore or journal of `size` (m): its values, else per size, else its table or tolerance class."""
    if rule.tolerance_class and size is not None:
        low, high = limits_of_size(size, rule.tolerance_class)
        return Offer(
            rule.authority,
            f"{rule.source} ({rule.tolerance_class}, ISO 286)".strip(),
            low,
            rule.aim_si,
            high,
            rule.hard,
        )
    row = next(
        (row for row in sorted(rule.by_size, key=lambda r: r.to_m) if size is not None and size <= row.to_m),
        None,
    )

    def value(plain: float | None, rate: float | None, tabled: float | None) -> float | None:
        if plain is not None:
            return plain
        if rate is not None and size is not None:
            return rate * size
        return tabled

    source = rule.source or (f"{rule.by}: {rule.why}" if rule.by else "")
    return Offer(
        rule.authority,
        source,
        value(rule.low_si, rule.low_per_size, row.low_si if row else None),
        value(rule.aim_si, rule.aim_per_size, row.aim_si if row else None),
        value(rule.high_si, rule.high_per_size, row.high_si if row else None),
        rule.hard,
    )


def _bound(stated: Sequence[Offer], side: str, hard: Side) -> Bound | None:
    for offer in stated:
        value = getattr(offer, side)
        if value is not None:
            return Bound(value, offer.authority, offer.source, hard in (Side(side), Side.BOTH))
    return None


def _tightened(bound: Bound | None, computed: Sequence[Offer], side: str, hard: Side, notes: list[str]) -> Bound | None:
    if hard not in (Side(side), Side.BOTH):
        return bound
    sign = 1.0 if side == "low" else -1.0
    for offer in computed:
        value = getattr(offer, side)
        if value is None or (bound is not None and sign * value <= sign * bound.value):
            continue
        if bound is not None:
            notes.append(f"the {side} limit of {bound.said_by} is tightened by computation: {offer.source}")
        bound = Bound(value, offer.authority, offer.source, True)
    return bound


def _aim(stated: Sequence[Offer]) -> float | None:
    """The strongest source's aim; its middle where it states both sides and no aim; else that of the next source."""
    for offer in stated:
        if offer.aim is not None:
            return offer.aim
        if offer.low is not None and offer.high is not None:
            return 0.5 * (offer.low + offer.high)
    return None


def _aim_inside(aim: float | None, low: Bound | None, high: Bound | None) -> float | None:
    inside = aim is not None and (low is None or aim >= low.value) and (high is None or aim <= high.value)
    if inside:
        return aim
    return 0.5 * (low.value + high.value) if low and high else None
