"""What one case gives: the numbers that a builder compares, and the worst that there is to say of them.

| name here | meaning | unit |
| --- | --- | --- |
| peak_pa | highest pressure in the cylinder, absolute | Pa |
| crown_c, skirt_c, liner_top_c, bore_c | temperatures: piston crown and skirt, bore at the top, bore where skirt and rings run coolest | °C |
| wall_hot_m, top_gap_hot_m, second_gap_hot_m | least over the cylinders, hot; below nil the skirt is squeezed, the ends meet | m |
| rod_film_m, rod_c, rod_at | smallest oil film over all rod bearings and the cycle; its bearing, and that one's film temperature | m, °C |
| rod_loss_w | friction of all rod bearings together | W |
| blow_by_share, blow_by_l_min | mean over the cylinders, of their charge, and of one cylinder | –, L/min |
| rod_bolts_n | pull on both bolts of a rod together at the case's speed, at the top between exhaust and intake | N |
| breathing | air that the power asks for over what the swept volume would hold at the manifold's state | – |

None stands for what was not asked, not read, or could not be worked out; `message` says the last.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from blockwright.physics.plain_bearing import RIGID_TO_PA
from blockwright.running.work.bearings_told import HOTTEST_C
from blockwright.running.work.better import HOTTEST_CROWN_C, MOST_AIR


class Caution(StrEnum):
    """What there is to mind about a case, worst first."""

    FAILED = "could not be worked out"
    UNSETTLED = "no steady film was found"
    ENDS_MEET = "the ends of a ring meet"
    THIN = "a film is thinner than the surfaces are rough"
    CROWN = "the crown is hotter than aluminium bears for long"
    OIL = f"the oil of a bearing is hotter than {HOTTEST_C:.0f} °C"
    TIGHT = "a bare skirt outgrows its bore (it flexes)"
    AIR = "the power asks for more air than the cylinders hold"
    REDLINE = "the speed is over the redline"
    RANKS = "a film's peak is over 50 MPa: it ranks, it does not measure"
    NONE = ""


UNSOUND = frozenset({Caution.FAILED, Caution.UNSETTLED, Caution.ENDS_MEET, Caution.THIN, Caution.CROWN})
"""Cautions that keep a case from being the best."""
RANK = {caution: rank for rank, caution in enumerate(Caution)}


@dataclass(frozen=True)
class Films:
    """All bearings of one kind in one case."""

    film_m: float
    at: str
    film_c: float
    loss_w: float
    peak_pa: float
    hottest_c: float
    """Of the hottest film."""
    spare_m: float
    """Least that any film clears its surfaces' roughness by."""
    settled: bool


@dataclass(frozen=True)
class Least:
    """The least of one hot size over the cylinders."""

    hot_m: float
    at: str


@dataclass(frozen=True)
class Row:
    """The outcome of one case."""

    peak_pa: float | None = None
    breathing: float | None = None
    crown_c: float | None = None
    skirt_c: float | None = None
    liner_top_c: float | None = None
    bore_c: float | None = None
    wall_hot_m: float | None = None
    wall_at: str = ""
    top_gap_hot_m: float | None = None
    top_gap_at: str = ""
    second_gap_hot_m: float | None = None
    second_gap_at: str = ""
    rod_film_m: float | None = None
    rod_at: str = ""
    rod_c: float | None = None
    rod_loss_w: float | None = None
    main_film_m: float | None = None
    main_at: str = ""
    main_c: float | None = None
    main_loss_w: float | None = None
    blow_by_share: float | None = None
    blow_by_l_min: float | None = None
    rod_bolts_n: float | None = None
    caution: str = ""
    message: str = ""

    @property
    def sound(self) -> bool:
        """Whether nothing speaks against it."""
        return Caution(self.caution) not in UNSOUND


def worst(row: Row, films: tuple[Films, ...], *, over_redline: bool) -> Caution:
    """The worst caution of a case."""
    return min(_cautions(row, films, over_redline), key=lambda each: RANK[each])


def _cautions(row: Row, films: tuple[Films, ...], over_redline: bool) -> Iterator[Caution]:
    yield Caution.NONE
    if row.message:
        yield Caution.FAILED
    if any(not each.settled for each in films):
        yield Caution.UNSETTLED
    if _below(row.top_gap_hot_m, 0.0) or _below(row.second_gap_hot_m, 0.0):
        yield Caution.ENDS_MEET
    if any(each.spare_m < 0.0 for each in films):
        yield Caution.THIN
    if _above(row.crown_c, HOTTEST_CROWN_C):
        yield Caution.CROWN
    if any(each.hottest_c > HOTTEST_C for each in films):
        yield Caution.OIL
    if _below(row.wall_hot_m, 0.0):
        yield Caution.TIGHT
    if _above(row.breathing, MOST_AIR):
        yield Caution.AIR
    if over_redline:
        yield Caution.REDLINE
    if any(each.peak_pa > RIGID_TO_PA for each in films):
        yield Caution.RANKS


def _below(value: float | None, limit: float) -> bool:
    return value is not None and value < limit


def _above(value: float | None, limit: float) -> bool:
    return value is not None and value > limit
