"""Fits when hot: cold and hot value, limits and who says so, the slot-and-pin mark, the verdict, and what weighs most."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from blockwright.engine.job import Job
from blockwright.fits.assessment import Standing
from blockwright.fits.registry import REGISTRY
from blockwright.fits.words import KIND, PLAIN_U_SI, Scale, unit_of
from blockwright.quantities import Kind, show
from blockwright.report.chances import sides
from blockwright.report.slot import Mark
from blockwright.report.work.numbers import half, sentence, shop_of, spread
from blockwright.running.work.result import HotFit, Weight, Work

WEIGHTS_TOLD = 3
LEAST_SHARE = 0.03
"""Inputs with a smaller share of the spread are not named."""
WORKED = (
    "top end gap", "second end gap", "wall clearance", "coated wall clearance", "pin in piston", "pin in bush", "main film", "rod film",
)  # fmt: skip
"""Fits that the engine at work may say something of."""
FILMS = ("main film", "rod film")
FILM_U_M = 4e-8
"""How finely a bound of an oil film is shown."""


@dataclass(frozen=True)
class HotRow:
    """One fit when hot at one position. `value` carries half its 95 % span; numbers bear no unit, which stands above."""

    fit: str
    at: str
    cold: str
    value: str
    unit: str
    limits: str
    authority: str
    mark: Mark
    standing: str
    words: str
    chances: str
    weighs: str

    @property
    def out(self) -> bool:
        """Whether it is nonconforming."""
        return self.standing == Standing.NONCONFORMING


@dataclass(frozen=True)
class HotBlock:
    """One kind of fit when hot, and `what` is looked at of it; limits and who says so stand above where all positions share them."""

    name: str
    what: str
    unit: str
    limits: str
    authority: str
    rows: tuple[HotRow, ...]
    weighs: str
    """What weighs most where it stands worst."""

    @property
    def film(self) -> bool:
        """Whether it is a bearing's film that is judged, beside its clearance."""
        return self.name in FILMS


def hot_blocks(job: Job, work: Work, unit: str = "") -> tuple[HotBlock, ...]:
    """Every hot fit, a block a kind, in their order."""
    listed = sorted(work.fits, key=lambda fit: _first_of(work.fits, fit))
    return tuple(
        _block(job, list(each), unit) for _, each in groupby(listed, key=lambda fit: (fit.fit, fit.words))
    )  # fmt: skip


def _first_of(fits: Sequence[HotFit], fit: HotFit) -> int:
    return next(index for index, each in enumerate(fits) if (each.fit, each.words) == (fit.fit, fit.words))


def _block(job: Job, fits: list[HotFit], unit: str) -> HotBlock:
    rows = tuple(hot_row(job, fit, unit) for fit in fits)
    shared = len({(row.limits, row.authority) for row in rows}) == 1
    worst = max(range(len(fits)), key=lambda index: 1.0 - fits[index].inside)
    return HotBlock(
        fits[0].fit, fits[0].words, rows[0].unit, rows[0].limits if shared else "limits by position",
        rows[0].authority if shared else "", rows, _where(rows, worst),
    )  # fmt: skip


def _where(rows: Sequence[HotRow], worst: int) -> str:
    row = rows[worst]
    return f"{row.weighs} ({row.at})" if row.weighs and len(rows) > 1 else row.weighs


def hot_row(job: Job, fit: HotFit, unit: str = "") -> HotRow:
    """One hot fit as text."""
    kind, shown, plain_u = _shown_in(job, fit, unit)
    middle = 0.5 * (fit.hot.low + fit.hot.high) if fit.hot.drawn else fit.hot.value
    return HotRow(
        fit=fit.fit,
        at=fit.position,
        cold=show(fit.cold.value, kind, shown, u=fit.cold.sd or plain_u, with_unit=False),
        value=spread(fit.hot, kind, shown, with_unit=False),
        unit=shown,
        limits=limits_words(fit.low, fit.high, kind, shown, plain_u),
        authority=fit.authority,
        mark=Mark(fit.low, fit.high, None, middle, half(fit.hot), fit.standing),
        standing=fit.standing,
        words=fit.said or fit.standing,
        chances=_chances(job, fit),
        weighs=weights_words(fit.weights),
    )


def _chances(job: Job, fit: HotFit) -> str:
    """Chances are shares of the draws: without draws there are none, and where none fell no more can be said than that."""
    if not fit.hot.drawn:
        return ""
    told = sides(fit, low=fit.low is not None, high=fit.high is not None, level=job.rules.level)
    return ", ".join(_of_draws(part) for part in told.split(", ") if part)


def _of_draws(part: str) -> str:
    """`0 % under the low limit` -> `no draw under the low limit`."""
    share, _, where = part.partition(" % ")
    words = {"0": "no draw", "100": "every draw"}
    return f"{words[share]} {where}" if share in words else part


def _shown_in(job: Job, fit: HotFit, unit: str) -> tuple[Kind, str, float]:
    """The kind of the cold fit that it belongs to, the unit it is shown in, and how finely limits are; of a bearing it is its film that is judged."""
    if fit.fit in FILMS:
        return Kind.LENGTH, shop_of(job, unit).film, FILM_U_M
    known = REGISTRY.get(fit.fit)
    scale = known.scale if known is not None else Scale.CLEARANCE
    wanted = unit if unit and scale in (Scale.CLEARANCE, Scale.SIZE) else unit_of(job, scale)
    return KIND[scale], wanted, PLAIN_U_SI[scale]


def limits_words(low: float | None, high: float | None, kind: Kind, unit: str, u: float) -> str:
    """`0.05 to 0.12 mm`, `at least 0.05 mm`, `up to 0.12 mm`; empty where nobody gives one."""

    def text(value: float) -> str:
        return show(value, kind, unit, u=u, with_unit=False)

    if low is not None and high is not None:
        return f"{text(low)} to {text(high)} {unit}"
    if low is not None:
        return f"at least {text(low)} {unit}"
    return f"up to {text(high)} {unit}" if high is not None else ""


def weights_words(weights: Iterable[Weight]) -> str:
    """`temperature of the top ring 61 %, gap as read 24 %`: what brings most of the spread, the heaviest first."""
    told = sorted((each for each in weights if each.share >= LEAST_SHARE), key=lambda each: -each.share)
    return ", ".join(f"{each.words} {100.0 * each.share:.0f} %" for each in told[:WEIGHTS_TOLD])


def hot_of(work: Work, fit: str, position: str) -> tuple[HotFit, ...]:
    """The hot fits that belong to a cold one at a position."""
    return tuple(each for each in work.fits if (each.fit, each.position) == (fit, position))


@dataclass(frozen=True)
class HotStory:
    """What a fit's story says of it at work: a title, the mark where there is one, and names with what is said under them."""

    title: str
    value: str
    words: str
    standing: str
    mark: Mark | None
    lines: tuple[tuple[str, str], ...]


def hot_stories(job: Job, work: Work, fit: str, position: str, unit: str = "") -> tuple[HotStory, ...]:
    """What is to be said of a cold fit at work; empty where nothing was worked out for it."""
    return tuple(_story(job, each, unit) for each in hot_of(work, fit, position))


def _story(job: Job, fit: HotFit, unit: str) -> HotStory:
    row = hot_row(job, fit, unit)
    lines = (
        ("clearance" if fit.fit in FILMS else "cold", f"{row.cold} {row.unit}"),
        ("limits", f"{row.limits} ({row.authority})" if row.limits and row.authority else row.limits),
        ("chances", row.chances),
        ("weighs", row.weighs),
        ("beware", sentence(fit.validated)),
    )
    told = tuple((name, text) for name, text in lines if text)
    mark = row.mark if fit.low is not None or fit.high is not None else None
    return HotStory(fit.words or f"{fit.fit}, hot", f"{row.value} {row.unit}", row.words, row.standing, mark, told)
