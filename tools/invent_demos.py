"""Invent the demonstration jobs: true sizes made up here, read with made-up gauges by a seeded pair of hands.

    python tools/invent_demos.py

writes job.toml's parts, limits, assembly and bolts, gauges.toml, readings.csv and record.csv under src/blockwright/demos/. Nothing in it comes from a real engine.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

from blockwright.choices.ring_bench import RingId, ring_bench
from blockwright.engine.features import land_under
from blockwright.engine.positions import cylinder
from blockwright.engine.rules import Accepted, Record
from blockwright.jobfile.folder import read_folder
from blockwright.jobfile.new_entry import entry_from
from blockwright.jobfile.readings_csv import COLUMNS
from blockwright.jobfile.record_csv import COLUMNS as RECORD_COLUMNS
from blockwright.jobfile.record_csv import cells_of, seal
from blockwright.jobfile.write import folder_texts, write_folder

DEMOS = Path(__file__).resolve().parents[1] / "src" / "blockwright" / "demos"
IN, THOU = 25.4, 0.0254


@dataclass
class Hand:
    """One way of reading: a gauge with its true error, scatter and step (mm), and how its indication is written."""

    gauge: str
    step: float
    scatter: float
    error: float = 0.0
    unit: str = "mm"
    setting: str = ""
    set_to: float = 0.0
    backwards: bool = False

    def read(self, true: float, rng: np.random.Generator) -> str:
        shown = true + self.error + rng.normal(0.0, self.scatter) - self.set_to
        shown = -shown if self.backwards else shown
        steps = round(shown / self.step) if self.setting else max(0, round(shown / self.step))
        per = {"mm": 1.0, "um": 1e-3, "in": IN, "thou": THOU, "tenths": THOU / 10, "Nm": 1.0}[self.unit]
        value = steps * self.step / per
        decimals = max(0, int(np.ceil(-np.log10(self.step / per) - 1e-9)))
        return f"{value:+.{decimals}f}" if self.setting else f"{value:.{decimals}f}"


@dataclass
class Book:
    """The readings being written."""

    seed: int
    rows: list[dict[str, str]] = field(default_factory=list)
    sitting: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.rng = np.random.default_rng(self.seed)

    def sit(self, name: str, when: str, by: str) -> None:
        self.sitting = {"sitting": name, "when": when, "by": by}

    def take(self, hand: Hand, part: str, feature: str, true: float, **more: str) -> None:
        self.write(hand, part, feature, hand.read(true, self.rng), **more)

    def blades(self, gauge: str, part: str, feature: str, true: float, unit: str, step: float, **more: str) -> None:
        """Largest blade that goes and smallest that does not."""
        per = THOU if unit == "thou" else 1.0
        goes = int(true / per / step + 1e-9)
        decimals = 0 if step >= 1 else 2
        text = f"{goes * step:.{decimals}f} to {(goes + 1) * step:.{decimals}f}"
        self.write(Hand(gauge, 0, 0, unit=unit), part, feature, text, **more)

    def write(self, hand: Hand, part: str, feature: str, value: str, **more: str) -> None:
        row = {
            "id": f"r{len(self.rows) + 1}", "part": part, "feature": feature, "value": value, "unit": hand.unit,
            "gauge": hand.gauge, "setting": hand.setting, **self.sitting, **more,
        }  # fmt: skip
        self.rows.append(row)

    def vary(self, spread: float) -> float:
        return float(self.rng.normal(0.0, spread))

    def text(self) -> str:
        out = io.StringIO()
        writer = csv.DictWriter(out, COLUMNS, restval="", lineterminator="\n")
        writer.writeheader()
        writer.writerows(self.rows)
        return out.getvalue()


def once(temp: str, state: str = "", gauge: str = "") -> Callable[[], dict[str, str]]:
    """Temperature and state for the first row of a part in a sitting; the others inherit them."""
    said = False

    def cells() -> dict[str, str]:
        nonlocal said
        if said:
            return {}
        said = True
        return {"part_temp": temp, **({"state": state} if state else {}), **({"gauge_temp": gauge} if gauge else {})}

    return cells


BORE_SPOTS = [(h, w) for h in ("top", "middle", "bottom") for w in ("thrust", "axial")]
JOURNAL_SPOTS = ("front across", "front along", "rear across", "rear along")


# ---------------------------------------------------------------- harbour boat, inline four


def harbour() -> None:
    book = Book(4071)
    mic = Hand("M1", 0.001, 0.0008, -0.0006)
    inch = Hand("M2", THOU / 20, 0.0007, 0.0009, "in")
    bore = Hand("BG1", 0.001, 0.0009, -0.0006 + 0.0005, "um", "S1", 97.25, backwards=True)
    mains = Hand("BG1", 0.001, 0.0009, 0.0009 - 0.0004, "um", "S2", 2.7550 * IN, backwards=True)
    rods = Hand("BG1", 0.001, 0.0009, 0.0004, "um", "S3", 57.00, backwards=True)
    mid = Hand("M3", 0.001, 0.0008, 0.0003)
    small = Hand("M4", 0.001, 0.0007, 0.0002)
    pin_bore = Hand("BG2", 0.001, 0.0007, 0.0002 + 0.0003, "um", "S4", 27.0)
    _harbour_bores(book, bore)
    _harbour_pistons(book, mic, small, pin_bore)
    _harbour_rings(book, small)
    _harbour_lands(book, mic, small)
    _harbour_bottom(book, inch, mains, mid, rods, pin_bore)
    _harbour_assembly(book)
    folder = DEMOS / "harbour"
    (folder / "passes.csv").unlink(missing_ok=True)
    _parts(folder, "P", 4, 5, "aluminium 2618", SPARE_PISTON + GRINDER + HARBOUR_LIMITS + "\n" + HARBOUR_ROUTE)
    (folder / "gauges.toml").write_text(HARBOUR_GAUGES)
    (folder / "readings.csv").write_text(book.text())
    _records(folder, [("concession", "rod side", "throw 3", "0.425 mm", "R. Quill (invented)", "2026-10-09",
                       "cheek dressed once already; customer told; oil throw watched at first hours")])  # fmt: skip
    _harbour_passes(folder)


def _harbour_bores(book: Book, bore: Hand) -> None:
    sizes = {1: 97.2560, 2: 97.2530, 3: 97.2240, 4: 97.2430}
    for number, size in sizes.items():
        plate = "plate off" if number == 1 else "plate on"
        book.sit(f"bores {number}", "2026-10-05", "R. Quill (invented)")
        first = once("21.5 °C", plate)
        for height, way in BORE_SPOTS:
            taper = (
                {"top": 0.0, "middle": 0.009, "bottom": 0.026}[height]
                if number == 2
                else {"top": 0.003, "middle": 0.0, "bottom": 0.002}[height]
            )
            true = size + taper + (0.002 if way == "axial" else 0.0)
            book.take(bore, "B1", "bore", true, at=f"cylinder {number}", spot=f"{height} {way}", **first())


def _harbour_pistons(book: Book, mic: Hand, small: Hand, pin_bore: Hand) -> None:
    skirts = {1: 97.1310, 2: 97.1300, 3: 97.1305, 4: 97.1300}
    book.sit("pistons", "2026-10-05", "R. Quill (invented)")
    for number, size in skirts.items():
        first = once("21.0 °C", "bare", "21.0 °C")
        for _ in range(2):
            book.take(mic, f"P{number}", "skirt", size, **first())
    book.sit("pin bores", "2026-10-06", "R. Quill (invented)")
    for number in skirts:
        first = once("21.0 °C")
        for spot in ("front boss", "rear boss"):
            book.take(pin_bore, f"P{number}", "pin bore", 27.0152 + book.vary(0.0004), spot=spot, **first())
    for number in skirts:
        first = once("21.0 °C", gauge="21.0 °C")
        pin = 26.9995 + book.vary(0.0006)
        for spot in ("front", "middle", "rear"):
            book.take(small, f"W{number}", "pin", pin + book.vary(0.0003), spot=spot, **first())
        first = once("21.0 °C")
        for spot in ("along", "across"):
            book.take(pin_bore, f"C{number}", "small end", 27.0185 + book.vary(0.0008), spot=spot, **first())
    depth, length = Hand("DG1", 0.01, 0.006), Hand("M5", 0.01, 0.004)
    for number in skirts:
        book.take(depth, f"P{number}", "pin room", 73.40 + book.vary(0.01))
        book.take(length, f"W{number}", "pin length", 73.12 + book.vary(0.01), **once("21.0 °C")())


def _harbour_rings(book: Book, small: Hand) -> None:
    book.sit("rings", "2026-10-07", "L. Marsh (invented)")
    gaps = {"top": 0.662, "second": 0.735, "upper rail": 0.52, "lower rail": 0.54}
    for number in range(1, 5):
        first = {"part_temp": "21 °C", "bore_temp": "21 °C", "state": "plate on"}
        for ring, gap in gaps.items():
            true = gap + book.vary(0.006)
            if number == 4 and "rail" not in ring:
                continue  # filed pass by pass: see _harbour_passes
            book.blades(
                "FB1", f"R{number}", f"{ring} gap", true, "thou", 1, at=f"cylinder {number}", depth="30 mm", **first
            )
            first = {}
    book.sit("ring grooves", "2026-10-07", "L. Marsh (invented)")
    slots = Hand("GB1", 0.005, 0.002)
    for number in range(1, 5):
        for ring, groove, height in (("top", 1.540, 1.487), ("second", 1.545, 1.489)):
            book.take(
                slots,
                f"P{number}",
                f"{ring} groove width",
                groove + book.vary(0.002),
                part_temp="21 °C" if ring == "top" else "",
            )
            book.take(
                small,
                f"R{number}",
                f"{ring} ring height",
                height + book.vary(0.0015),
                part_temp="21 °C" if ring == "top" else "",
            )


def _harbour_passes(folder: Path) -> None:
    """File the top and second ring of set 4 as the planner says, on a made-up wheel: every entry goes into passes.csv."""
    rng = np.random.default_rng(412)
    read = read_folder(folder)
    job = read.job
    for ring, gap, rate in (("top", 0.548, 0.0117), ("second", 0.610, 0.0109)):
        which = RingId("R4", ring, cylinder(4))
        taken = 0.0
        while True:
            goes = int(gap / THOU + 1e-9)
            cells = {
                "id": f"p{len(job.passes) + 1}", "rings": "R4", "ring": ring, "at": "cylinder 4", "wheel": "W1", "taken": f"{taken:g}",
                "counted_in": "turns", "gap": f"{goes} to {goes + 1} thou", "gauge": "FB1", "depth": "30 mm", "state": "plate on",
                "ring_temp": "21 °C", "bore_temp": "21 °C", "by": "L. Marsh (invented)", "when": "2026-10-07",
            }  # fmt: skip
            job = replace(job, passes=(*job.passes, entry_from(job, cells)))
            advice = ring_bench(job).state(which).advice
            taken = advice.units if advice else 0.0
            if not taken:
                break
            gap += taken * rate * (1.0 + rng.normal(0.0, 0.08))
    write_folder(folder, folder_texts(job, read))


def _harbour_lands(book: Book, mic: Hand, small: Hand) -> None:
    """What the strength of rings and lands rests on: one set, and a spare piston of another alloy to set beside it."""
    book.sit("lands", "2026-10-08", "L. Marsh (invented)")
    depth = Hand("DG1", 0.01, 0.006)
    for piston, land, root, height in (
        ("P2", 96.78, (3.57, 3.69), (6.15, 4.30)),
        ("P5", 96.84, (3.56, 3.68), (5.20, 3.85)),
    ):
        for ring, deep, thick in zip(("top", "second"), root, height, strict=True):
            book.take(
                mic,
                piston,
                land_under(ring),
                land - (0.05 if ring == "second" else 0.0),
                part_temp="21 °C",
                gauge_temp="21 °C",
            )
            book.take(depth, piston, f"{ring} groove depth", deep, part_temp="21 °C")
            book.take(depth, piston, f"{land_under(ring)} height", thick, part_temp="21 °C")
    for ring, free, wall in (("top", 13.2, 3.48), ("second", 12.0, 3.60)):
        book.take(depth, "R2", f"{ring} ring free opening", free, part_temp="21 °C")
        book.take(small, "R2", f"{ring} ring wall", wall, part_temp="21 °C", gauge_temp="21 °C")
    book.sit("spare piston, bare", "2026-10-08", "L. Marsh (invented)")
    book.take(mic, "P5", "skirt", 97.1620, part_temp="21 °C", gauge_temp="21 °C", state="bare")
    book.sit("spare piston, coated", "2026-10-08", "L. Marsh (invented)")
    book.take(mic, "P5", "skirt", 97.1880, part_temp="21 °C", gauge_temp="21 °C", state="coated")


def _harbour_bottom(book: Book, inch: Hand, mains: Hand, mid: Hand, rods: Hand, pin_bore: Hand) -> None:
    book.sit("crank", "2026-10-06", "R. Quill (invented)")
    first = once("68 °F", gauge="68 °F")
    for main in range(1, 6):
        size = 2.7548 * IN + (0.0235 if main == 3 else 0.0) + book.vary(0.0008)
        for spot in JOURNAL_SPOTS:
            book.take(inch, "K1", "main journal", size + book.vary(0.0007), at=f"main {main}", spot=spot, **first())
    for number in range(1, 5):
        size = 56.990 + book.vary(0.0008)
        for spot in JOURNAL_SPOTS:
            book.take(mid, "K1", "rod journal", size + book.vary(0.0007), at=f"throw {number}", spot=spot)
    dial = Hand("DI1", 0.005, 0.003)
    for main, run in zip(range(1, 6), (0.0, 0.015, 0.022, 0.016, 0.0), strict=True):
        book.take(dial, "K1", "crank runout", run + 0.002, at=f"main {main}")
    book.sit("bearings in", "2026-10-08", "R. Quill (invented)")
    first = once("20.5 °C", "caps torqued; shells in")
    for main in range(1, 6):
        book.take(
            mains, "B1", "main shelled bore", 70.0345 + book.vary(0.0012), at=f"main {main}", spot="square", **first()
        )
    for number in range(1, 5):
        first = once("20.5 °C", "caps torqued; shells in")
        book.take(rods, f"C{number}", "big end shelled bore", 57.046 + book.vary(0.0010), spot="square", **first())


def _harbour_assembly(book: Book) -> None:
    book.sit("mock-up", "2026-10-09", "R. Quill (invented)")
    dial = Hand("DI1", 0.005, 0.003)
    book.take(dial, "engine", "crank end float", 0.155)
    for throw, side in ((1, 0.265), (2, 0.285), (3, 0.425), (4, 0.275)):
        book.blades("FB2", "engine", "rod side", side, "mm", 0.05, at=f"throw {throw}")
    for number in range(1, 5):
        deck = 0.105 + book.vary(0.006)
        for spot, rock in (("front", 0.008), ("rear", -0.008)):
            book.take(dial, "engine", "piston to deck", deck + rock, at=f"cylinder {number}", spot=spot)
    wrench = Hand("TW1", 0.1, 0.15, unit="Nm")
    torque = 1.2
    stages = ["seals", *(f"main {n}" for n in range(1, 6)), "thrust", *(f"piston {n}" for n in range(1, 5))]
    for stage in stages:
        torque += {"seals": 0.0, "main": 0.7, "thrust": 0.2, "piston": 4.0}[stage.split()[0]]
        torque += 2.6 if stage == "main 3" else 0.0
        book.take(wrench, "engine", "turning torque", torque, at=f"stage {stage}")


# ---------------------------------------------------------------- hill climb, flat six


def hillclimb() -> None:
    book = Book(6133)
    mic = Hand("M1", 0.001, 0.0008, 0.0004)
    bore = Hand("BG1", 0.001, 0.0008, 0.0004 - 0.0003, "um", "S1", 92.40)
    mains_mic, rods_mic = Hand("M2", 0.001, 0.0008, -0.0003), Hand("M2", 0.001, 0.0008, -0.0003)
    mains = Hand("BG1", 0.001, 0.0008, -0.0003, "um", "S2", 59.00)
    rods = Hand("BG1", 0.001, 0.0008, -0.0003, "um", "S3", 52.00)
    small, pin_bore = Hand("M3", 0.001, 0.0007, 0.0002), Hand("BG2", 0.001, 0.0007, 0.0002, "um", "S4", 22.0)
    book.sit("cylinders", "2026-09-14", "T. Alder (invented)")
    first = once("20.5 °C")
    for number in range(1, 7):
        size = 92.402 + book.vary(0.001)
        for height, way in BORE_SPOTS:
            true = size + {"top": 0.002, "middle": 0.0, "bottom": 0.002}[height] + (0.001 if way == "axial" else 0.0)
            book.take(bore, "B1", "bore", true, at=f"cylinder {number}", spot=f"{height} {way}", **first())
    book.sit("pistons", "2026-09-14", "T. Alder (invented)")
    for number in range(1, 7):
        book.take(mic, f"P{number}", "skirt", 92.328 + book.vary(0.001), **once("20.5 °C", "bare")())
        for spot in ("front boss", "rear boss"):
            book.take(pin_bore, f"P{number}", "pin bore", 22.0148 + book.vary(0.0005), spot=spot)
        first = once("20.5 °C")
        for spot in ("front", "middle", "rear"):
            book.take(small, f"W{number}", "pin", 21.9995 + book.vary(0.0003), spot=spot, **first())
        first = once("20.5 °C")
        for spot in ("along", "across"):
            book.take(pin_bore, f"C{number}", "small end", 22.0185 + book.vary(0.0005), spot=spot, **first())
        book.take(Hand("DG1", 0.01, 0.005), f"P{number}", "pin room", 60.30 + book.vary(0.01))
        book.take(Hand("DG1", 0.01, 0.004), f"W{number}", "pin length", 60.05 + book.vary(0.01))
    _hillclimb_rings(book, small)
    _hillclimb_bottom(book, mains_mic, rods_mic, mains, rods)
    folder = DEMOS / "hillclimb"
    _parts(folder, "P", 6, 7, "aluminium 4032", HILLCLIMB_LIMITS + HILLCLIMB_ROUTE)
    (folder / "gauges.toml").write_text(HILLCLIMB_GAUGES)
    (folder / "readings.csv").write_text(book.text())


def _hillclimb_rings(book: Book, small: Hand) -> None:
    book.sit("rings", "2026-09-16", "T. Alder (invented)")
    for number in range(1, 7):
        first = {"part_temp": "20.5 °C", "bore_temp": "20.5 °C"}
        for ring, gap in (("top", 0.44), ("second", 0.49), ("upper rail", 0.60), ("lower rail", 0.60)):
            book.blades(
                "FB1",
                f"R{number}",
                f"{ring} gap",
                gap + book.vary(0.008),
                "mm",
                0.05,
                at=f"cylinder {number}",
                depth="25 mm",
                **first,
            )
            first = {}
    book.sit("grooves", "2026-09-16", "T. Alder (invented)")
    for number in range(1, 7):
        for ring, groove, height in (("top", 1.243, 1.195), ("second", 1.244, 1.195)):
            first = {"part_temp": "20.5 °C"} if ring == "top" else {}
            book.take(
                Hand("GB1", 0.002, 0.0015), f"P{number}", f"{ring} groove width", groove + book.vary(0.001), **first
            )
            book.take(small, f"R{number}", f"{ring} ring height", height + book.vary(0.001), **first)


def _hillclimb_bottom(book: Book, mains_mic: Hand, rods_mic: Hand, mains: Hand, rods: Hand) -> None:
    book.sit("crank", "2026-09-15", "T. Alder (invented)")
    first = once("20.5 °C")
    for main in range(1, 8):
        for spot in JOURNAL_SPOTS:
            book.take(
                mains_mic, "K1", "main journal", 58.991 + book.vary(0.0007), at=f"main {main}", spot=spot, **first()
            )
    for throw in range(1, 7):
        for spot in JOURNAL_SPOTS:
            book.take(rods_mic, "K1", "rod journal", 51.990 + book.vary(0.0007), at=f"throw {throw}", spot=spot)
    dial = Hand("DI1", 0.005, 0.002)
    for main, run in zip(range(1, 8), (0.0, 0.012, 0.018, 0.02, 0.016, 0.012, 0.0), strict=True):
        book.take(dial, "K1", "crank runout", run + 0.002, at=f"main {main}")
    book.sit("shells in", "2026-09-17", "T. Alder (invented)")
    first = once("20.5 °C", "case torqued; shells in")
    for main in range(1, 8):
        book.take(
            mains, "B1", "main shelled bore", 59.042 + book.vary(0.0008), at=f"main {main}", spot="square", **first()
        )
    for number in range(1, 7):
        book.take(rods, f"C{number}", "big end shelled bore", 52.035 + book.vary(0.0008), spot="square",
                  **once("20.5 °C", "caps torqued; shells in")())  # fmt: skip
    book.sit("mock-up", "2026-09-18", "T. Alder (invented)")
    book.take(dial, "engine", "crank end float", 0.262)
    for throw in range(1, 7):
        book.blades("FB1", "engine", "rod side", 0.225 + book.vary(0.004), "mm", 0.05, at=f"throw {throw}")
    for number in range(1, 7):
        deck = 0.86 + book.vary(0.008)
        for spot, rock in (("front", 0.006), ("rear", -0.006)):
            book.take(dial, "engine", "piston to deck", deck + rock, at=f"cylinder {number}", spot=spot)
    torque = 0.9
    for stage in ("crank with rods", "case closed", *(f"piston {n}" for n in range(1, 7))):
        torque += {"crank": 0.0, "case": 2.1, "piston": 2.3}[stage.split()[0]]
        book.take(Hand("TW1", 0.1, 0.12, unit="Nm"), "engine", "turning torque", torque, at=f"stage {stage}")


# ---------------------------------------------------------------- files

MARK = (
    "# ---- parts, assignments, limits, assembly and bolts: written by tools/invent_demos.py, every one invented ----\n"
)


def _parts(folder: Path, piston: str, cylinders: int, mains: int, alloy: str, limits: str) -> None:
    path = folder / "job.toml"
    head = path.read_text().split("# ---- parts, assign")[0].rstrip() + "\n\n"
    lines = [MARK]

    def part(mark: str, kind: str, **more: str) -> None:
        lines.append(
            "[[part]]\n"
            + "".join(f'{key} = "{value}"\n' for key, value in {"mark": mark, "kind": kind, **more}.items())
        )

    part("B1", "block", batch="invented 1")
    part("K1", "crank", batch="invented 1", alloy="steel 4340")
    for n in range(1, cylinders + 1):
        part(f"{piston}{n}", "piston", maker="Invented Pistons", batch=f"lot {cylinders}{n}", alloy=alloy,
             mass=f"{631.2 + 0.1 * n:.1f} g", skirt_length="38 mm", skirt_width="62 mm", barrel="0.055 mm", oval="0.24 mm")  # fmt: skip
        part(f"W{n}", "pin", maker="Invented Pistons")
        part(f"R{n}", "ring set", maker="Invented Rings", alloy="nitrided stainless")
        part(f"C{n}", "rod", maker="Invented Rods", alloy="steel 4340")
        part(f"CU{n}", "shell", maker="Invented Shells")
        part(f"CL{n}", "shell", maker="Invented Shells")
    for n in range(1, mains + 1):
        part(f"MU{n}", "shell", maker="Invented Shells")
        part(f"ML{n}", "shell", maker="Invented Shells")
    for n in range(1, cylinders + 1):
        lines.append(
            f'[[cylinder]]\nnumber = {n}\npiston = "{piston}{n}"\npin = "W{n}"\nrings = "R{n}"\nrod = "C{n}"\nshells = ["CU{n}", "CL{n}"]\n'
        )
    lines.extend(f'[[main]]\nnumber = {n}\nshells = ["MU{n}", "ML{n}"]\n' for n in range(1, mains + 1))
    path.write_text(head + "\n".join(lines) + "\n" + limits)


def _records(folder: Path, listed: list[tuple[str, str, str, str, str, str, str]]) -> None:
    import datetime as dt

    out, before = io.StringIO(), ""
    writer = csv.DictWriter(out, RECORD_COLUMNS, lineterminator="\n")
    writer.writeheader()
    for number, (event, fit, at, value, by, when, why) in enumerate(listed, 1):
        record = Record(number, Accepted(event), fit, at, 0.0, value, by, dt.date.fromisoformat(when), why)
        before = seal(record, before)
        writer.writerow({**cells_of(record), "digest": before})
    (folder / "record.csv").write_text(out.getvalue())


def limit(fit: str, source: str, authority: str = "part maker", **more: str) -> str:
    """One limit as text."""
    rows = {"fit": fit, "authority": authority, "source": source, **more}
    return "[[limit]]\n" + "".join(f'{key} = "{value}"\n' for key, value in rows.items()) + "\n"


SPARE_PISTON = """[[part]]
mark = "P5"
kind = "piston"
maker = "Invented Pistons"
batch = "lot 45, spare"
alloy = "aluminium 4032"
coating = "skirt, 13 um a side"
mass = "588.4 g"
skirt_length = "41 mm"
skirt_width = "66 mm"

"""

GRINDER = """[grinder]
counted_in = "turns"
wheel = "W1"

"""

HARBOUR_LIMITS = (
    limit("wall clearance", "invented piston sheet, marine duty", low_per_size="0.00115", aim_per_size="0.00125", high_per_size="0.00145")
    + limit("top end gap", "invented ring sheet, turbocharged marine", low_per_size="0.0062", aim_per_size="0.0066")
    + limit("second end gap", "invented ring sheet, turbocharged marine", low_per_size="0.0068", aim_per_size="0.0074")
    + limit("main film", "invented engine manual", "engine manual", low="1.8 thou", aim="2.3 thou", high="3.0 thou")
    + limit("rod film", "invented engine manual", "engine manual", low="0.040 mm", aim="0.055 mm", high="0.075 mm")
    + limit("crank end float", "invented engine manual", "engine manual", low="0.08 mm", high="0.23 mm")
    + limit("rod side", "invented rod sheet", low="0.15 mm", high="0.38 mm")
    + limit("pin end play", "invented piston sheet, wire clips", low="0.10 mm", high="0.50 mm")
    + limit("piston to deck", "invented engine manual", "engine manual", low="0.05 mm", aim="0.10 mm", high="0.15 mm")
    + limit("turning torque", "builder", "builder", by="R. Quill (invented)", why="what this shop sees on fours of this size", high="28 Nm")
    + '[[order]]\npart = "B1"\nfeature = "bore"\nwork = "bore and hone to the pistons, torque plate on"\nlow = "97.245 mm"\nhigh = "97.265 mm"\nshop = "Invented Machining"\n'
)  # fmt: skip

TURNING = {
    "crank with rods": "2.0 Nm",
    "case closed": "5.0 Nm",
    **{f"piston {n}": f"{5.0 + 3.0 * n:.1f} Nm" for n in range(1, 7)},
}
TURNING_RULE = "what this shop lets a six of this kind take: a ring pack adds 3 Nm at most"
HILLCLIMB_LIMITS = (
    limit("wall clearance", "invented piston sheet", low="0.060 mm", aim="0.072 mm", high="0.090 mm")
    + limit("top end gap", "invented ring sheet", low="0.36 mm", aim="0.42 mm", high="0.60 mm")
    + limit("second end gap", "invented ring sheet", low="0.36 mm", aim="0.46 mm", high="0.70 mm")
    + limit("main film", "invented case manual", "engine manual", low="0.030 mm", aim="0.050 mm", high="0.070 mm")
    + limit("rod film", "invented case manual", "engine manual", low="0.030 mm", aim="0.045 mm", high="0.065 mm")
    + limit("crank end float", "invented case manual", "engine manual", low="0.10 mm", high="0.22 mm")
    + limit("rod side", "invented rod sheet", low="0.12 mm", high="0.36 mm")
    + limit("pin end play", "invented piston sheet, wire clips", low="0.10 mm", high="0.45 mm")
    + limit("piston to deck", "invented case manual", "engine manual", low="0.75 mm", aim="0.85 mm", high="1.00 mm")
    + limit("small-end size", "invented rod sheet", tolerance_class="H6")
    + "".join(
        limit("turning torque", "builder", "builder", at=f"stage {stage}", by="T. Alder (invented)", why=TURNING_RULE, high=high)
        for stage, high in TURNING.items()
    )
)  # fmt: skip


def assembly(**facts: str) -> str:
    """How an engine goes together, as text; values are written as they stand in the file."""
    return "[assembly]\n" + "".join(f"{key} = {value}\n" for key, value in facts.items()) + "\n"


def fastener(joint: str, size: str, count: int, stages: str, source: str, **more: str) -> str:
    """The bolts of one joint as text. `stages` are parted by semicolons; `pattern`, `rows` and `one_use` are written as they stand."""
    listed = ", ".join(f'"{stage.strip()}"' for stage in stages.split(";"))
    rows = [f'joint = "{joint}"', f'size = "{size}"', f"count = {count}", f"stages = [{listed}]"]
    plain = ("pattern", "rows", "one_use")
    rows += [f"{key} = {value}" if key in plain else f'{key} = "{value}"' for key, value in more.items()]
    return "[[fastener]]\n" + "\n".join([*rows, f'source = "{source}"']) + "\n\n"


OIL_ON_THREAD = "clean engine oil on thread and under the head"
ENGINE_MANUAL, CASE_MANUAL = "invented engine manual", "invented case manual"
HARBOUR_ROUTE = (
    assembly(cam='"in the block"', pushrods="true", thrust_main="5", oil_jets="true", rear_seal='"two halves"', cam_drive='"gears"', sealant_open='"15 min"')
    + fastener("main caps", "M13 x 1.75, 105 mm", 2, "40 Nm; 85 Nm; 125 Nm", ENGINE_MANUAL, lubricant=OIL_ON_THREAD)
    + fastener("rod bolts", "M11 x 1.25, 52 mm", 2, "25 Nm, to seat the cap", "invented rod sheet", stretch="0.15 mm", lubricant="the rod maker's own paste, thread and under the head")
    + fastener("heads", "M13 x 1.75, 120 mm", 10, "45 Nm; 90 Nm", ENGINE_MANUAL, angle="90 deg", lubricant=OIL_ON_THREAD, pattern="[3, 8, 2, 7, 4, 9, 1, 6, 5, 10]", one_use="true")
    + fastener("rockers", "M9 x 1.25, 60 mm", 8, "32 Nm", ENGINE_MANUAL, lubricant="clean engine oil")
    + fastener("cam wheels", "M11 x 1.25, 40 mm", 1, "95 Nm", ENGINE_MANUAL, lubricant="thread locker, medium; face dry")
    + fastener("crank nose", "M18 x 1.5, 60 mm", 1, "240 Nm", ENGINE_MANUAL, lubricant=OIL_ON_THREAD)
    + fastener("flywheel", "M11 x 1.25, 25 mm", 8, "40 Nm; 105 Nm", ENGINE_MANUAL, lubricant="thread locker, strong: these holes go through to the oil", one_use="true", pattern="[1, 5, 3, 7, 2, 6, 4, 8]", rows="1")
    + fastener("oil pump", "M9 x 1.25, 70 mm", 3, "28 Nm", ENGINE_MANUAL, lubricant="clean engine oil")
    + fastener("oil jets", "M9 x 1.0, banjo", 1, "14 Nm", ENGINE_MANUAL, lubricant="dry, new washers")
    + fastener("gallery plugs", "taper, by the list of plugs", 1, "22 Nm", ENGINE_MANUAL, lubricant="thread sealant, none on the first turn")
    + fastener("front cover", "M8 x 1.25, 35 mm", 11, "12 Nm; 22 Nm", ENGINE_MANUAL, lubricant="dry")
    + fastener("sump", "M8 x 1.25, 22 mm", 18, "8 Nm; 16 Nm", ENGINE_MANUAL, lubricant="dry")
    + fastener("valve covers", "M6 x 1.0, 30 mm", 6, "8 Nm", ENGINE_MANUAL, lubricant="dry", retorque="once, cold, after the first heat: cork settles")
    + fastener("manifolds", "M10 x 1.5, 45 mm", 9, "22 Nm; 45 Nm", ENGINE_MANUAL, lubricant="heat paste on the exhaust's studs")
    + fastener("water pipes", "M8 x 1.25, 30 mm", 6, "20 Nm", ENGINE_MANUAL, lubricant="thread sealant where a hole goes through to the water")
    + fastener("mounts", "M12 x 1.75, 40 mm", 4, "80 Nm", ENGINE_MANUAL, lubricant="dry")
)  # fmt: skip
HILLCLIMB_ROUTE = (
    assembly(cam='"overhead"', pistons_enter='"barrel over the piston"', thrust_main="1", dry_sump="true", pump_inside="true", oil_jets="true", case_o_rings="true", cam_drive='"chain"', sealant_open='"12 min"', head_for='"cylinder"')
    + fastener("case", "M11 x 1.5 through bolts, 180 mm", 14, "15 Nm; 30 Nm; 42 Nm", CASE_MANUAL, lubricant="a film of oil on thread and washer", pattern="[4, 11, 3, 10, 5, 12, 2, 9, 6, 13, 1, 8, 7, 14]")
    + fastener("case edge", "M8 x 1.25", 22, "12 Nm; 23 Nm", CASE_MANUAL, lubricant="dry")
    + fastener("rod bolts", "M9 x 1.0, 44 mm", 2, "20 Nm", "invented rod sheet", angle="85 deg", lubricant="the bolt maker's paste on thread and under the head", one_use="true")
    + fastener("heads", "M10 x 1.25 nuts on the barrel's studs", 4, "10 Nm; 20 Nm; 32 Nm", CASE_MANUAL, lubricant="the stud maker's paste under nut and washer", retorque="once, cold, after the first heat, by the case manual: light metal settles", pattern="[1, 4, 2, 3]")
    + fastener("cam caps", "M7 x 1.0, 42 mm", 16, "6 Nm; 14 Nm", CASE_MANUAL, lubricant="clean engine oil")
    + fastener("cam wheels", "M12 x 1.5, 30 mm", 1, "110 Nm", CASE_MANUAL, lubricant=OIL_ON_THREAD)
    + fastener("crank nose", "M14 x 1.5, 55 mm", 1, "170 Nm", CASE_MANUAL, lubricant=OIL_ON_THREAD)
    + fastener("flywheel", "M10 x 1.25, 22 mm", 9, "45 Nm; 90 Nm", CASE_MANUAL, lubricant=OIL_ON_THREAD, one_use="true", rows="1")
    + fastener("oil pump", "M8 x 1.25, tab washers", 4, "22 Nm", CASE_MANUAL, lubricant="clean engine oil; new tab washers")
    + fastener("oil jets", "pressed in and staked", 1, "no torque: by its press tool", CASE_MANUAL, lubricant="dry")
    + fastener("gallery plugs", "M14 x 1.5 with washer", 1, "33 Nm", CASE_MANUAL, lubricant="dry, new aluminium washers")
    + fastener("front cover", "M6 x 1.0, 28 mm", 12, "9 Nm", CASE_MANUAL, lubricant="dry")
    + fastener("sump", "M6 x 1.0", 10, "5 Nm; 9 Nm", CASE_MANUAL, lubricant="dry")
    + fastener("valve covers", "M6 x 1.0", 11, "8 Nm", CASE_MANUAL, lubricant="dry, new washers with a seal")
    + fastener("manifolds", "M8 x 1.25", 12, "14 Nm; 23 Nm", CASE_MANUAL, lubricant="heat paste on the exhaust's studs")
    + fastener("mounts", "M12 x 1.5, 45 mm", 4, "85 Nm", CASE_MANUAL, lubricant="dry")
)  # fmt: skip


def gauge(mark: str, name: str, **more: str) -> str:
    """One gauge as text."""
    dof = more.pop("dof", "")
    rows = "".join(f'{key} = "{value}"\n' for key, value in {"id": mark, "name": name, **more}.items())
    return f"[[gauge]]\n{rows}" + (f"repeatability_dof = {dof}\n" if dof else "") + "\n"


def setting(mark: str, on: str, size: str, master: str, temp: str) -> str:
    """One setting as text."""
    return (
        f'[[setting]]\nid = "{mark}"\ngauge = "{on}"\nsize = "{size}"\nmaster = "{master}"\nmaster_temp = "{temp}"\n'
        'repeatability = "0.0008 mm"\n\n'
    )


HEAD = '# INVENTED gauges; no such certificate exists.\nformat = "blockwright gauges 1"\n\n'
HARBOUR_GAUGES = (
    HEAD
    + gauge("M1", "outside micrometer 75 to 100 mm", resolution="0.001 mm", certificate="0.0025 mm", repeatability="0.0008 mm", dof="18", low="75 mm", high="100 mm", due="2027-03-31")
    + gauge("M2", "outside micrometer 2 to 3 in", resolution="0.5 tenths", certificate="1 tenths", repeatability="0.3 tenths", dof="18", low="2 in", high="3 in", due="2027-03-31")
    + gauge("M3", "outside micrometer 50 to 75 mm", resolution="0.001 mm", certificate="0.002 mm", repeatability="0.0008 mm", dof="18", low="50 mm", high="75 mm", due="2027-03-31")
    + gauge("M4", "outside micrometer 0 to 30 mm", resolution="0.001 mm", certificate="0.002 mm", repeatability="0.0007 mm", dof="18", low="0 mm", high="30 mm", due="2027-03-31")
    + gauge("M5", "caliper", resolution="0.01 mm", certificate="0.02 mm", repeatability="0.005 mm", dof="9", due="2027-03-31")
    + gauge("BG1", "dial bore gauge 50 to 160 mm, needle runs backwards", sense="deviation backwards", resolution="0.001 mm", certificate="0.002 mm", repeatability="0.0009 mm", dof="27", low="50 mm", high="160 mm", due="2027-03-31")
    + gauge("BG2", "small bore gauge 18 to 35 mm", sense="deviation", resolution="0.001 mm", certificate="0.002 mm", repeatability="0.0007 mm", dof="18", low="18 mm", high="35 mm", due="2027-03-31")
    + gauge("FB1", "feeler blades, by the thou", sense="blades", certificate="0.2 thou")
    + gauge("FB2", "feeler blades, by 0.05 mm", sense="blades", certificate="0.005 mm")
    + gauge("GB1", "gauge blocks", resolution="0.005 mm", certificate="0.002 mm", repeatability="0.002 mm", dof="9", due="2028-01-31")
    + gauge("DI1", "dial indicator", resolution="0.005 mm", certificate="0.006 mm", repeatability="0.003 mm", dof="12", due="2027-03-31")
    + gauge("DG1", "depth gauge", resolution="0.01 mm", certificate="0.012 mm", repeatability="0.006 mm", dof="9", due="2027-03-31")
    + gauge("TW1", "beam torque wrench", measures="torque", resolution="0.1 Nm", certificate="0.3 Nm", repeatability="0.15 Nm", dof="9", due="2027-03-31")
    + setting("S1", "BG1", "97.250 mm", "M1", "21.0 °C")
    + setting("S2", "BG1", "2.7550 in", "M2", "68 °F")
    + setting("S3", "BG1", "57.000 mm", "M3", "20.5 °C")
    + setting("S4", "BG2", "27.000 mm", "M4", "21.0 °C")
)  # fmt: skip

HILLCLIMB_GAUGES = (
    HEAD
    + gauge("M1", "outside micrometer 75 to 100 mm", resolution="0.001 mm", certificate="0.002 mm", repeatability="0.0008 mm", dof="18", low="75 mm", high="100 mm", due="2027-05-31")
    + gauge("M2", "outside micrometer 50 to 75 mm", resolution="0.001 mm", certificate="0.002 mm", repeatability="0.0008 mm", dof="18", low="50 mm", high="75 mm", due="2027-05-31")
    + gauge("M3", "outside micrometer 0 to 25 mm", resolution="0.001 mm", certificate="0.002 mm", repeatability="0.0007 mm", dof="18", low="0 mm", high="25 mm", due="2027-05-31")
    + gauge("BG1", "dial bore gauge 50 to 160 mm", sense="deviation", resolution="0.001 mm", certificate="0.002 mm", repeatability="0.0008 mm", dof="27", low="50 mm", high="160 mm", due="2027-05-31")
    + gauge("BG2", "small bore gauge 18 to 35 mm", sense="deviation", resolution="0.001 mm", certificate="0.002 mm", repeatability="0.0007 mm", dof="18", low="18 mm", high="35 mm", due="2027-05-31")
    + gauge("FB1", "feeler blades, by 0.05 mm", sense="blades", certificate="0.005 mm")
    + gauge("GB1", "gauge blocks", resolution="0.002 mm", certificate="0.001 mm", repeatability="0.0015 mm", dof="9", due="2028-01-31")
    + gauge("DI1", "dial indicator", resolution="0.005 mm", certificate="0.005 mm", repeatability="0.002 mm", dof="12", due="2027-05-31")
    + gauge("DG1", "depth gauge", resolution="0.01 mm", certificate="0.010 mm", repeatability="0.005 mm", dof="9", due="2027-05-31")
    + gauge("TW1", "beam torque wrench", measures="torque", resolution="0.1 Nm", certificate="0.3 Nm", repeatability="0.12 Nm", dof="9", due="2027-05-31")
    + setting("S1", "BG1", "92.400 mm", "M1", "20.5 °C")
    + setting("S2", "BG1", "59.000 mm", "M2", "20.5 °C")
    + setting("S3", "BG1", "52.000 mm", "M2", "20.5 °C")
    + setting("S4", "BG2", "22.000 mm", "M3", "20.5 °C")
)  # fmt: skip


if __name__ == "__main__":
    harbour()
    hillclimb()
