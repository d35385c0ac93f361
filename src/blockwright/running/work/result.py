"""What is told of an engine at work: every number with its spread, every fit hot with its verdict, every curve that is drawn.

| name here | meaning | unit |
| --- | --- | --- |
| Spread | best value, standard deviation over the draws, and the span that holds 95 % of them | as the value |
| Fact | an input: best value, standard uncertainty, and where it comes from | as its kind |
| angle_deg | crank angle from firing top dead centre, -360 to 360, of the cylinder (or of cylinder 1, for what belongs to the whole crank) | ° |

Plain records of numbers, words and tuples, so that a result can be kept in a file and read back as it was.
"""

from __future__ import annotations

from dataclasses import dataclass

Curve = tuple[float, ...]


@dataclass(frozen=True)
class Spread:
    """A number with what readings and ignorance leave of it. Without draws, `sd` is nil and the span is the value."""

    value: float
    sd: float = 0.0
    low: float = 0.0
    high: float = 0.0
    error: float = 0.0
    """Standard error of the mean of the draws: what more draws would still change."""

    @property
    def drawn(self) -> bool:
        """Whether it was drawn, and not only worked out once."""
        return self.sd > 0.0


@dataclass(frozen=True)
class Fact:
    """One input of the calculation. `unit` is that of `value` and `u` (SI, or °C for temperatures)."""

    name: str
    words: str
    value: float
    u: float
    unit: str
    origin: str

    @property
    def assumed(self) -> bool:
        """Whether nobody gave it."""
        return self.origin.startswith("assumed")


@dataclass(frozen=True)
class Weight:
    """How much of a spread one input brings: share of the variance, first order."""

    words: str
    share: float


@dataclass(frozen=True)
class CycleTold:
    """The cylinder's cycle at the duty's power and speed. Pressures are absolute."""

    speed_rad_s: float
    power_w: float
    angle_deg: Curve
    pressure_pa: Curve
    temperature_k: Curve
    low_pa: Curve
    high_pa: Curve
    """The span that holds 95 % of the draws at each angle; empty without draws."""
    peak_pa: Spread
    peak_at_deg: float
    peak_k: Spread
    indicated_pa: Spread
    """Mean pressure of compression and expansion."""
    friction_pa: Spread
    breathing: Spread
    """Air that the power asks for, over what the swept volume would hold at the manifold's pressure and temperature."""
    flux_w_m2: Spread
    """Mean heat flux into the crown."""
    energy_left_over: float
    given: str = ""
    """Where the pressure is the builder's own: his words for it."""


@dataclass(frozen=True)
class Node:
    """One place of the heat network, or a temperature that is held: °C."""

    name: str
    words: str
    temperature_c: Spread
    given: bool
    plausible: str = ""
    """The band that handbooks give, and whether it lies in it, in words."""


@dataclass(frozen=True)
class HeatPath:
    """One resistance of the network as it was used, K/W, with where it comes from."""

    name: str
    words: str
    between: tuple[str, str]
    resistance_k_w: float
    heat_w: float
    spread: float
    source: str


@dataclass(frozen=True)
class ForcesTold:
    """Forces of one cylinder's drive at the duty's speed, over `angle_deg`; sides by the thrust face that is pressed."""

    angle_deg: Curve
    gas_n: Curve
    side_n: Curve
    torque_nm: Curve
    """Of the whole crank."""
    largest_pin_n: Spread
    largest_major_n: Spread
    largest_minor_n: Spread
    rod_bolts_n: Spread
    """On both bolts of a rod together, at the redline, at the top between exhaust and intake."""
    mean_piston_m_s: float
    redline_piston_m_s: float
    top_acceleration_m_s2: float
    """At the redline."""
    free_n: Curve
    free_nm: Curve
    """Free forces and couples by order 1, 2, 4 ... of the crank's speed: see `orders`."""
    orders: tuple[int, ...]


@dataclass(frozen=True)
class HotFit:
    """One fit when hot, judged as a cold one is: by the share of the draws inside its limits."""

    fit: str
    """The cold fit that it belongs to: 'top end gap'."""
    position: str
    words: str
    cold: Spread
    hot: Spread
    low: float | None
    high: float | None
    authority: str
    """Who says so, and why."""
    below: float
    inside: float
    above: float
    standing: str
    """conforms, undecided, nonconforming, no limit given: as for a cold fit."""
    said: str
    """The standing as it is said, on whose ground."""
    weights: tuple[Weight, ...]
    bins: Curve = ()
    counts: tuple[int, ...] = ()
    """Distribution of the draws: edges of the bins (one more than counts) and how many fell in each."""
    validated: str = ""
    """What it was never held against, in words."""


@dataclass(frozen=True)
class Window:
    """Diametral clearances between which film and temperature keep their bounds, m; None for an end beyond those tried."""

    least_m: float | None
    most_m: float | None
    film_bound_m: float
    coolest_c: float
    hottest_c: float


@dataclass(frozen=True)
class OilTried:
    """What a bearing would do on another grade."""

    grade: str
    film_m: float
    temperature_c: float
    loss_w: float


@dataclass(frozen=True)
class BearingTold:
    """One bearing at work. `name` is 'main 2' or 'rod bearing, cylinder 3'. Clearances are diametral; the orbit is over the radial one."""

    name: str
    fit: str
    position: str
    read: bool
    """Whether its clearance was measured; else the middle of its limits is taken."""
    cold_m: Spread
    hot_m: Spread
    diameter_m: float
    width_m: float
    film_m: Spread
    film_at_deg: float
    peak_pa: Spread
    specific_pa: float
    """Largest load over bore times width."""
    loss_w: Spread
    flow_m3_s: Spread
    temperature_c: Spread
    out_c: Spread
    roughness_m: float
    """Combined roughness of shell and journal that the film must clear."""
    roughness_origin: str
    measures: bool
    """Whether the pressure is low enough for the film's thickness to be more than a ranking."""
    settled: bool
    orbit: tuple[tuple[float, float], ...]
    film_over_m: Curve
    """Smallest film over `angle_deg` of the whole crank."""
    load_n: tuple[tuple[float, float], ...]
    tried_m: Curve
    tried_film_m: Curve
    tried_c: Curve
    """Film and temperature over diametral clearances tried."""
    window: Window | None
    oils: tuple[OilTried, ...]
    weights: tuple[Weight, ...]
    """What the spread of the smallest film comes from."""


@dataclass(frozen=True)
class RingsTold:
    """The ring pack of one cylinder, gaps as filed and hot. Pressures are absolute."""

    position: str
    angle_deg: Curve
    chamber_pa: Curve
    under_top_pa: Curve
    """Between top and second ring."""
    under_second_pa: Curve
    """Between second and oil ring; empty where there is none."""
    top_lift_m: Curve
    second_lift_m: Curve
    top_gap_m: Spread
    second_gap_m: Spread
    """Hot."""
    blow_by_share: Spread
    blow_by_l_min: Spread
    """Of this cylinder."""
    settled: bool
    looser: str
    """The answer to 'is a looser second ring all right here?'"""


@dataclass(frozen=True)
class GapMap:
    """Blow-by and highest pressure between the rings over cold top and second gaps: rows are top gaps."""

    top_m: Curve
    second_m: Curve
    blow_by_share: tuple[Curve, ...]
    between_pa: tuple[Curve, ...]
    here: tuple[float, float] | None
    """Cold gaps of the cylinder that was looked at."""
    position: str


@dataclass(frozen=True)
class Better:
    """A clearance that would do better, in words, with the numbers behind it."""

    fit: str
    position: str
    now_m: float
    low_m: float | None
    high_m: float | None
    words: str


@dataclass(frozen=True)
class Work:
    """An engine at work at its duty, on the clearances as measured."""

    job: str
    digest: str
    """Of the job and everything else that the calculation rests on."""
    duty: str
    headline: str
    facts: tuple[Fact, ...]
    cycle: CycleTold
    nodes: tuple[Node, ...]
    paths: tuple[HeatPath, ...]
    forces: ForcesTold
    fits: tuple[HotFit, ...]
    bearings: tuple[BearingTold, ...]
    rings: tuple[RingsTold, ...]
    gap_map: GapMap | None
    better: tuple[Better, ...]
    samples: int
    seed: int
    missing: tuple[str, ...]
    """What could not be worked out, and which readings it wants."""
    cautions: tuple[str, ...]
    not_validated: tuple[str, ...]
    seconds: float = 0.0
