"""Every fit of the registry, worked by hand: value, what governs, what is open, both sides, how hard each is, and the remedy.

Values are worked out in the comment beside each case, in mm (torques in N·m) from the readings laid out there. The limits of both sides are set
from the value by hand: with `step` 0.010 mm the low side is tried with 0.010, 0.020 (the aim) and 0.030 mm above it, so that the remedy is
to move it by 0.020 mm; the high side likewise below it.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from blockwright.engine.layout import PinHold
from blockwright.fits.assessment import Standing
from blockwright.fits.registry import REGISTRY

MM = 1e-3
LAND = {"top": "second land", "second": "third land"}
TORQUED_OUT, TORQUED_IN = "caps torqued; shells out", "caps torqued; shells in"


@dataclass
class Case:
    """One fit: how it is laid out, what it then is (mm or N·m), and what is to be said."""

    lay: Callable
    value: float
    governs: str
    open_without: dict = field(default_factory=dict)
    low: str = ""
    high: str = ""
    at: str = "cylinder 1"
    step: float = 0.010
    unit: float = MM
    engine: dict = field(default_factory=dict)
    rel: float = 1e-9


def grooves(ring):
    """Groove 1.250 wide, 3.700 deep; ring 1.200 high, wall 3.600; land 85.400; bore 86.000 at the middle."""

    def lay(b):
        b.read("P1", f"{ring} groove width", mm=1.250).read("R1", f"{ring} ring height", mm=1.200)
        b.read("P1", f"{ring} groove depth", mm=3.700).read("R1", f"{ring} ring wall", mm=3.600)
        b.read("P1", LAND[ring], mm=85.400).bore(1, top=(0.05, 0.05))

    return lay


def gap(ring):
    """Gap 0.400 read at a depth of 30, halfway from top (10, bore +0.020) to middle (50, bore +0): bore +0.010 there."""

    def lay(b):
        b.engine |= {
            "heights": {"top": 0.010, "middle": 0.050, "bottom": 0.090}, "top_ring_m": 0.006, "second_ring_m": 0.008, "oil_ring_m": 0.0095,
        }  # fmt: skip
        b.bore(1, top=(0.022, 0.018), middle=(0.001, -0.001), bottom=(0.001, 0.001))
        b.read("R1", f"{ring} gap", "cylinder 1", "plate on", mm=0.400, depth_m=0.030)

    return lay


def pins(b):
    b.read("P1", "pin bore", front_boss=22.014, rear_boss=22.012).read("C1", "small end", along=22.020, across=22.018)
    b.read("W1", "pin", front=21.999, middle=22.000, rear=21.998)
    b.read("P1", "pin room", mm=60.500).read("W1", "pin length", mm=60.200)


def pressed(b):
    b.read("C1", "small end", along=21.970, across=21.966).read("W1", "pin", front=22.000, middle=21.999, rear=21.998)


def ends(b):
    b.read("C1", "big end", state=TORQUED_OUT, square=53.998, left=54.001, right=54.004)


def journals(b):
    """Front 0.004 and 0.002 above 60 (across, along), rear 0.001 and 0.001; rod journal the same above 50."""
    b.journal("main journal", "main 2", front=(0.004, 0.002), rear=(0.001, 0.001))
    b.journal("rod journal", "throw 2", front=(0.004, 0.002), rear=(0.001, 0.001), size=50.0)
    b.read("K", "main journal roughness", "main 2", mm=0.004).read("K", "rod journal roughness", "throw 2", mm=0.004)


def films(b):
    journals(b)
    b.read("B", "main shelled bore", "main 2", TORQUED_IN, square=60.050)
    b.read("C2", "big end shelled bore", state=TORQUED_IN, square=50.044)


def crush(b):
    b.read("MU2", "shell crush", mm=0.036).read("ML2", "shell crush", mm=0.030)
    b.read("CU2", "shell crush", mm=0.030).read("CL2", "shell crush", mm=0.036)


def tunnel(b):
    b.read("K", "crank runout", "main 2", mm=0.020).read("B", "tunnel step", "main 2", mm=0.015)
    b.read("B", "main housing", "main 2", TORQUED_OUT, square=64.004, left=64.000, right=64.001)
    b.read("B", "deck hollow", "bank 1", along=0.020, across=0.040, corners=0.030)


def assembled(b):
    b.read("engine", "crank end float", mm=0.120).read("engine", "rod side", "throw 1", mm=0.250)
    b.read("engine", "piston to deck", "cylinder 1", front=0.500, rear=0.540)
    for stage, torque in (("seals", 1.0), ("main 1", 3.0)):
        b.read("engine", "turning torque", f"stage {stage}", mm=torque)


def bores(b):
    """Thrust 0.060, 0.050, 0.070 above 86; axial 0.056, 0.050, 0.064; bare skirt 85.990, coated skirt 86.058."""
    b.bore(1, top=(0.060, 0.056), middle=(0.050, 0.050), bottom=(0.070, 0.064))
    b.read("P1", "skirt", state="bare", mm=85.990).read("P1", "skirt", state="coated", mm=86.058)
    b.read("B", "bore roughness", "cylinder 1", mm=0.004)


def bore_missing(spot):
    return {("B", "bore", spot): f"bore of B at cylinder 1 ({spot}), plate on"}


def gap_case(ring, governs="middle of the bore, the smallest in the ring's travel"):
    name = ring if "rail" in ring else f"{ring}"
    return Case(
        gap(ring),
        0.400 - 3.14159265359 * 0.010,  # 0.400 + pi (0 - 0.010) = 0.3686
        governs, {("R1", f"{name} gap", ""): f"{name} gap of R1 at cylinder 1, plate on"},
        "file it by 0.020 mm to 0.389 mm, a little at a time, in bore 1", "nothing can be put back: another ring, or a signed concession",
    )  # fmt: skip


def groove_cases(ring):
    width, height = (
        {("P1", f"{ring} groove width", ""): f"{ring} groove width of P1"},
        {("R1", f"{ring} ring height", ""): f"{ring} ring height of R1"},
    )
    depth, wall = (
        {("P1", f"{ring} groove depth", ""): f"{ring} groove depth of P1"},
        {("R1", f"{ring} ring wall", ""): f"{ring} ring wall of R1"},
    )
    return {
        f"{ring} side clearance": Case(
            grooves(ring), 0.050, "", width | height,  # 1.250 - 1.200
            "another ring, 0.020 mm less high, or have the groove recut", "another ring or piston: the groove is 0.020 mm too wide",
        ),
        f"{ring} ring flush depth": Case(
            grooves(ring), 0.100, "", depth | wall,  # 3.700 - 3.600
            "another ring, 0.020 mm narrower", "another ring, 0.020 mm wider",
        ),
        f"{ring} back clearance": Case(
            grooves(ring), 0.400, "",  # 3.700 - 3.600 + (86.000 - 85.400) / 2
            depth | wall | {("P1", LAND[ring], ""): f"{LAND[ring]} of P1"} | bore_missing("middle thrust"),
            "another ring or piston", "another ring or piston",
        ),
    }  # fmt: skip


def springs(ring):
    """Free opening 11.400, gap 0.400 in a bore of 86.000; wall 3.600, height 1.200."""

    def lay(b):
        b.read("R1", f"{ring} ring free opening", mm=11.400).read("R1", f"{ring} ring wall", mm=3.600)
        b.read("R1", f"{ring} ring height", mm=1.200).bore(1, top=(0.05, 0.05))
        b.read("R1", f"{ring} gap", "cylinder 1", "plate on", mm=0.400, depth_m=0.030)

    return lay


def spring_pressure():
    """2 F_t / (d h), F_t = 4 E I k / (d - a)^2, k = 2 m / (3 pi (d - a)), I = h a^3 / 12; E 200 GPa, in N and mm: about 0.20 N/mm^2."""
    d, a, h, m, modulus = 86.0, 3.6, 1.2, 11.0, 200e3
    k = 2.0 * m / (3.0 * math.pi * (d - a))
    return 2.0 * 4.0 * modulus * (h * a**3 / 12.0) * k / (d - a) ** 2 / (d * h)


def opened(ring):
    """The ring of `springs`, and the land under it, 85.400: smaller than the bore by 0.600."""

    def lay(b):
        springs(ring)(b)
        b.read("P1", LAND[ring], mm=85.400)

    return lay


def opening_stress():
    """The bent half ring as a boundary-value problem, lengths in r_m: steel of 200 GPa, N and mm; another route than stepping along it.

    heading' = 1 - k (1 + cos t) - P (y_tip - y), x' = cos heading, y' = sin heading, P and y_tip unknown; nothing moves at the back, and the
    circle through back and tips of the inner face is the piston.
    """
    d, a, m, over, modulus = 86.0, 3.6, 11.0, 85.4, 200e3
    middle = (d - a) / 2.0
    k, half_wall = 2.0 * m / (3.0 * math.pi * (d - a)), a / (d - a)

    def along(t, state, unknown):
        heading, _, y = state
        pull, tip = unknown
        return np.vstack([1.0 - k * (1.0 + np.cos(t)) - pull * (tip - y), np.cos(heading), np.sin(heading)])

    def ends(back, tip, unknown):
        across, up = tip[1] - half_wall * np.sin(tip[0]), tip[2] + half_wall * np.cos(tip[0]) - half_wall
        return np.array([*back, tip[2] - unknown[1], (across**2 + up**2) / up - over / middle])

    t = np.linspace(0.0, math.pi, 101)
    guess = np.vstack([0.85 * t, np.sin(0.85 * t) / 0.85, (1.0 - np.cos(0.85 * t)) / 0.85])
    solved = solve_bvp(along, ends, t, guess, [0.05, 2.2], tol=1e-10, max_nodes=20_000)
    assert solved.success
    pull, tip = solved.p
    return modulus * a / (2.0 * middle) * pull * tip


def lands(ring):
    """Land 85.400, groove 3.700 deep, land 3.000 high; 100 bar peak, 1.5 times for knock."""

    def lay(b):
        b.duty |= {"peak_pressure_pa": 10e6, "knock": 1.5}
        b.read("P1", LAND[ring], mm=85.400).read("P1", f"{ring} groove depth", mm=3.700)
        b.read("P1", f"{LAND[ring]} height", mm=3.000)

    return lay


def land_stress(ring):
    """The plate's own equation, w = q r^4/64 + c1 + c2 r^2 + c3 ln r + c4 r^2 ln r (times 1/D), solved for a clamped root and a free rim; N and mm.

    Of the peak of 10 N/mm^2 the land under the top ring bears 0.70 (all above, 0.30 below), that under the second 0.25; the ring adds what
    presses on it outside the land, out to the bore of 86.
    """
    outer, root, nu, t = 42.7, 39.0, 0.33, 3.0
    share = {"top": 0.70, "second": 0.25}[ring] * 10.0
    q = 1.5 * share * (1.0 + (43.0**2 - outer**2) / (outer**2 - root**2))

    def terms(r):
        """Rows for w, w', M_r and Q_r: of q r^4/64, then of c1 to c4."""
        log = math.log(r)
        first = [r**3 / 16.0, 0.0, 2.0 * r, 1.0 / r, 2.0 * r * log + r]
        second = [3.0 * r**2 / 16.0, 0.0, 2.0, -1.0 / r**2, 2.0 * log + 3.0]
        shear = [r / 2.0, 0.0, 0.0, 0.0, 4.0 / r]
        return (
            [r**4 / 64.0, 1.0, r**2, log, r**2 * log],
            first,
            [b + nu / r * a for a, b in zip(first, second, strict=True)],
            shear,
        )

    at_root, at_rim = terms(root), terms(outer)
    rows = np.array([at_root[0], at_root[1], at_rim[2], at_rim[3]])
    constants = np.linalg.solve(rows[:, 1:], -q * rows[:, 0])
    moment = abs(q * at_root[2][0] + np.dot(at_root[2][1:], constants))
    return 6.0 * moment / t**2


def strength_cases(ring):
    missing = [("R1", f"{ring} ring {what}", "") for what in ("free opening", "wall", "height")]
    plates = [("P1", what, "") for what in (LAND[ring], f"{ring} groove depth", f"{LAND[ring]} height")]
    cracked = "a piston with a thicker land or a shallower groove; more octane, less advance, less boost"
    return {
        f"{ring} ring pressure": Case(
            springs(ring), spring_pressure(), "", {key: f"{key[1]} of R1" for key in missing},
            "another ring: this one is tired, or free for a larger bore", "another ring: this one bears too hard", step=0.05, unit=1e6,
        ),
        f"{ring} ring spread stress": Case(
            opened(ring), opening_stress(), "at its back, opposite the gap", {key: f"{key[1]} of R1" for key in missing},
            *["another ring; ask its maker how far it may be opened, and open it with pliers whose stop is set"] * 2, step=150.0, unit=1e6,
            rel=1e-4,  # the true shape is summed over 720 steps
        ),
        f"{LAND[ring]} stress": Case(
            lands(ring), land_stress(ring), "at the root of the groove above", {key: f"{key[1]} of P1" for key in plates},
            cracked, cracked, step=30.0, unit=1e6,
        ),
    }  # fmt: skip


def journal_cases(kind, at, part_words):
    regrind = "have the crank ground to the next undersize, all journals of a kind alike"
    missing = {("K", f"{kind} journal", "rear along"): f"{kind} journal of K at {part_words} (rear along)"}
    size = {"main": 60.002, "rod": 50.002}[kind]  # mean of +0.004 +0.002 +0.001 +0.001
    polish = "polish the journal, in the direction of rotation last"
    rough = {("K", f"{kind} journal roughness", ""): f"{kind} journal roughness of K at {part_words}"}
    return {
        f"{kind} journal size": Case(journals, size, "mean of four places", missing, regrind, regrind, at),
        f"{kind} journal taper": Case(
            journals, 0.003, "front against rear, read across", missing, regrind, regrind, at  # 0.004 - 0.001; along only 0.001
        ),
        f"{kind} journal out-of-round": Case(
            journals, 0.002, "at the front", missing, regrind, regrind, at  # 0.004 - 0.002; the rear is round
        ),
        f"{kind} journal finish": Case(journals, 0.004, "", rough, polish, polish, at, 0.001),
    }  # fmt: skip


CASES = {
    "wall clearance": Case(
        bores, 0.060, "middle of the bore, along the thrust axis",  # 86.050 - 85.990
        bore_missing("top axial") | {("P1", "skirt", ""): "skirt of P1, bare"},
        "hone bore 1 by 0.020 mm on the diameter, plate on, or fit a piston 0.020 mm smaller",
        "fit a piston 0.020 mm larger, or bore to the next size",
    ),
    "coated wall clearance": Case(
        bores, -0.008, "middle of the bore, along the thrust axis",  # 86.050 - 86.058
        bore_missing("middle thrust") | {("P1", "skirt", ""): "skirt of P1, coated"},
        "ask the coating's maker; hone bore 1 by 0.020 mm only if the bare clearance wants it too", "fit a piston 0.020 mm larger",
    ),
    "bore taper": Case(
        bores, 0.020, "bottom thrust against middle thrust",  # 0.070 - 0.050; axial only 0.014
        bore_missing("bottom axial"), *["hone bore 1 straight, plate on, then measure all six spots again"] * 2,
    ),
    "out-of-round": Case(
        bores, 0.006, "bottom thrust against bottom axial",  # 0.070 - 0.064; top 0.004, middle nothing
        bore_missing("bottom axial"), *["hone bore 1 round, plate on, with the bolts and gasket of the real assembly"] * 2,
    ),
    "bell-mouth": Case(
        bores, 0.017, "bottom against the middle",  # (0.070 + 0.064) / 2 - 0.050; top (0.060 + 0.056) / 2 - 0.050 = 0.008
        bore_missing("top thrust"), *["hone bore 1 again with shorter over-travel at the wide end"] * 2,
    ),
    "bore finish": Case(
        bores, 0.004, "", {("B", "bore roughness", ""): "bore roughness of B at cylinder 1"},
        "hone bore 1 again with a coarser stone: wanted Rz 6.0 um", "plateau bore 1 with a finer stone: wanted Rz 2.0 um", step=0.001,
    ),
    "top end gap": gap_case("top"), "second end gap": gap_case("second"),
    "upper rail gap": gap_case("upper rail"), "lower rail gap": gap_case("lower rail"),
    **groove_cases("top"), **groove_cases("second"), **strength_cases("top"), **strength_cases("second"),
    "pin in piston": Case(
        pins, 0.012, "pin bore of P1, rear boss against pin of W1, middle",  # 22.012 - 22.000
        {("P1", "pin bore", "front boss"): "pin bore of P1 (front boss)", ("W1", "pin", "rear"): "pin of W1 (rear)"},
        "hone the bosses by 0.020 mm", "another pin, 0.020 mm thicker",
    ),
    "pin in bush": Case(
        pins, 0.018, "small end of C1, across against pin of W1, middle",  # 22.018 - 22.000
        {("C1", "small end", "along"): "small end of C1 (along)", ("W1", "pin", "front"): "pin of W1 (front)"},
        "hone the bush by 0.020 mm", "a new bush, honed to -0.002 mm of room",  # 0.018 - 0.020
    ),
    "pin press": Case(
        pressed, 0.034, "pin of W1, front in small end of C1, across",  # 22.000 - 21.966
        {("C1", "small end", "across"): "small end of C1 (across)", ("W1", "pin", "middle"): "pin of W1 (middle)"},
        # the low side is judged where it grips least: 21.998 - 21.970 = 0.028, 0.026 short of the aim of 0.054
        "another pin, 0.026 mm thicker, or another rod", "hone the eye by 0.020 mm", engine={"pin": PinHold.PRESSED},
    ),
    "pin end play": Case(
        pins, 0.300, "", {("P1", "pin room", ""): "pin room of P1", ("W1", "pin length", ""): "pin length of W1"},  # 60.500 - 60.200
        "shorten the pin by 0.020 mm", "another pin, 0.020 mm longer, or thicker clips",
    ),
    "small-end size": Case(
        pins, 22.019, "mean of all directions", {("C1", "small end", "along"): "small end of C1 (along)"},  # (22.020 + 22.018) / 2
        "hone by 0.020 mm", "a new bush, honed to 21.999 mm",
    ),
    "big-end size": Case(
        ends, 54.001, "mean of all directions",  # (53.998 + 54.001 + 54.004) / 3
        {("C1", "big end", "left"): "big end of C1 (left), caps torqued, shells out"},
        "have the big end honed by 0.020 mm", "have the cap ground and the big end resized to 53.981 mm",
    ),
    "big-end out-of-round": Case(
        ends, 0.006, "largest less smallest direction",  # 54.004 - 53.998
        {("C1", "big end", "right"): "big end of C1 (right), caps torqued, shells out"},
        *["have the big end resized round"] * 2,
    ),
    "main film": Case(
        films, 0.046, "square to the parting line, against main journal 2, front across",  # 60.050 - 60.004
        {("B", "main shelled bore", "square"): "main shelled bore of B at main 2 (square), caps torqued, shells in",
         ("K", "main journal", "front along"): "main journal of K at main 2 (front along)"},
        "thinner shells, or a half-shell mix, for 0.020 mm more room; else have the journal polished by 0.020 mm",
        "thicker shells, for 0.020 mm less room", "main 2",
    ),
    "rod film": Case(
        films, 0.040, "square to the parting line, against rod journal 2, front across",  # 50.044 - 50.004
        {("C2", "big end shelled bore", "square"): "big end shelled bore of C2 (square), caps torqued, shells in",
         ("K", "rod journal", "front along"): "rod journal of K at throw 2 (front along)"},
        "thinner shells, or a half-shell mix, for 0.020 mm more room; else have the journal polished by 0.020 mm",
        "thicker shells, for 0.020 mm less room", "cylinder 2",
    ),
    "main shell crush": Case(
        crush, 0.030, "the lesser of two: crush of ML2", {("MU2", "shell crush", ""): "shell crush of MU2"},
        "other shells; never file the cap", "other shells; never file the shell's ends", "main 2",
    ),
    "rod shell crush": Case(
        crush, 0.030, "the lesser of two: crush of CU2", {("CL2", "shell crush", ""): "shell crush of CL2"},
        "other shells; never file the cap", "other shells; never file the shell's ends", "cylinder 2",
    ),
    **journal_cases("main", "main 2", "main 2"), **journal_cases("rod", "throw 2", "throw 2"),
    "crank runout": Case(
        tunnel, 0.020, "", {("K", "crank runout", ""): "crank runout of K at main 2"},
        *["have the crank straightened or ground; never build it in"] * 2, "main 2",
    ),
    "tunnel alignment": Case(
        tunnel, 0.015, "", {("B", "tunnel step", ""): "tunnel step of B at main 2"}, *["have the tunnel align-honed"] * 2, "main 2",
    ),
    "main housing out-of-round": Case(
        tunnel, 0.004, "largest less smallest direction",  # 64.004 - 64.000
        {("B", "main housing", "square"): "main housing of B at main 2 (square), caps torqued, shells out"},
        *["have the tunnel align-honed"] * 2, "main 2",
    ),
    "deck flatness": Case(
        tunnel, 0.040, "the worst way: across", {("B", "deck hollow", "along"): "deck hollow of B at bank 1 (along)"},
        *["have the deck skimmed, and check piston to deck and timing drive after"] * 2, "bank 1",
    ),
    "crank end float": Case(
        assembled, 0.120, "", {("engine", "crank end float", ""): "crank end float"},
        "thinner thrust washers, for 0.020 mm more", "thicker thrust washers, for 0.020 mm less", "engine",
    ),
    "rod side": Case(
        assembled, 0.250, "", {("engine", "rod side", ""): "rod side at throw 1"},
        "have the rod's face ground by 0.020 mm", "a wider rod, for 0.020 mm less, or a signed concession", "throw 1",
    ),
    "piston to deck": Case(
        assembled, 0.520, "mean of two readings on the pin axis",  # (0.500 + 0.540) / 2
        {("engine", "piston to deck", "rear"): "piston to deck at cylinder 1 (rear)"},
        "a thicker gasket, or a piston 0.020 mm lower", "have the deck skimmed by 0.020 mm, or a thinner gasket",
    ),
    "turning torque": Case(
        assembled, 3.0, "", {("engine", "turning torque", "", "stage main 1"): "turning torque at stage main 1"},
        *["take the last part out again and find what binds"] * 2, "stage main 1", 1.0, 1.0,
    ),
    "turning torque rise": Case(
        assembled, 2.0, "after seals",  # 3.0 - 1.0
        {("engine", "turning torque", "", "stage seals"): "turning torque at stage seals",
         ("engine", "turning torque", "", "stage main 1"): "turning torque at stage main 1"},
        *["take the last part out again and find what binds"] * 2, "stage main 1", 1.0, 1.0,
    ),
}  # fmt: skip

DOES_HARM_LARGE = (
    "bore taper", "out-of-round", "bell-mouth", "big-end out-of-round", "main journal taper", "main journal out-of-round",
    "main journal finish", "rod journal taper", "rod journal out-of-round", "rod journal finish", "crank runout", "tunnel alignment",
    "main housing out-of-round", "deck flatness", "turning torque", "turning torque rise", "second land stress",
    "third land stress", "top ring spread stress", "second ring spread stress",
)  # fmt: skip
DOES_HARM_EITHER_WAY = (
    "pin press", "pin end play", "small-end size", "big-end size", "main shell crush", "rod shell crush", "main journal size",
    "rod journal size",
)  # fmt: skip
DOES_NO_HARM = ("bore finish", "top ring pressure", "second ring pressure")


def harmful_sides(name):
    """By hand: every fit named in none of the lists above does harm when it is tight."""
    if name in DOES_NO_HARM:
        return ()
    if name in DOES_HARM_EITHER_WAY:
        return ("low", "high")
    return ("high",) if name in DOES_HARM_LARGE else ("low",)


EVERY = pytest.mark.parametrize("name", sorted(REGISTRY))


def laid(bench, name):
    case = CASES[name]
    case.lay(bench)
    bench.engine |= case.engine
    return case, bench


def test_every_fit_has_its_case():
    assert set(CASES) == set(REGISTRY)


@EVERY
def test_value_worked_by_hand(bench, name):
    case, bench = laid(bench, name)
    result = bench.judge(name, case.at)
    assert result.standing is not Standing.OPEN, result.missing
    assert result.estimate.value == pytest.approx(case.value * case.unit, rel=case.rel)
    assert result.found.governs.startswith(case.governs)
    assert bool(result.found.governs) == bool(case.governs)


@EVERY
def test_open_and_says_what_is_missing(bench, name):
    case, _ = laid(bench, name)
    assert case.open_without
    for key, words in case.open_without.items():
        case, other = laid(type(bench)(), name)
        result = other.withdraw(*key).judge(name, case.at)
        assert (result.standing, result.missing) == (Standing.OPEN, (words,))
        assert result.found is None
        assert result.remedy == ""


@EVERY
def test_nothing_read_names_everything(bench, name):
    case = CASES[name]
    bench.engine |= case.engine
    result = bench.judge(name, case.at)
    assert result.standing is Standing.OPEN
    assert set(case.open_without.values()) <= set(result.missing)


@EVERY
def test_inside(bench, name):
    case, bench = laid(bench, name)
    bench.limit(name, case.value - case.step, case.value + case.step, unit=case.unit)
    result = bench.judge(name, case.at)
    assert (result.standing, result.words, result.remedy, result.side) == (Standing.CONFORMS, "conforms", "", "")


@EVERY
@pytest.mark.parametrize("side", ["low", "high"])
def test_outside(bench, name, side):
    case, bench = laid(bench, name)
    way = case.step if side == "low" else -case.step
    low, aim, high = sorted(case.value + times * way for times in (1, 2, 3))
    bench.limit(name, low, high, aim, unit=case.unit)
    result = bench.judge(name, case.at)
    assert (result.standing, result.side, result.words) == (Standing.NONCONFORMING, side, "nonconforming")
    assert result.hard == (side in harmful_sides(name))
    assert result.remedy == (case.low if side == "low" else case.high)


@pytest.mark.parametrize("name", [name for name, fit in REGISTRY.items() if not fit.on_request])
def test_every_usual_fit_is_looked_for(bench, name):
    """A fit of the usual ones stands open in a job without a reading; one on request does not."""
    bench.engine |= CASES[name].engine
    assert name in {result.fit.name for result in bench.assess().results}


def test_fits_on_request_are_left_out_of_an_empty_job(bench):
    assert not any(result.fit.on_request for result in bench.assess().results)


@EVERY
def test_words_of_every_fit(name):
    """What a builder is told of it is there, and the side that does harm says what the harm is."""
    fit = REGISTRY[name]
    assert all((fit.what, fit.formula, fit.governing, fit.needs, fit.group))
    said = {"low": fit.when_low, "high": fit.when_high}
    assert all(said[side] for side in harmful_sides(name))
