"""A bench on which a test builds a job in code: an engine, its parts, gauges without error, and readings in millimetres.

Gauges without error (a thousandth of a nanometre) and parts at exactly 20 °C let every value be checked by hand, and every verdict be
a plain comparison. A test that is about doubt brings its own gauge.
"""

import datetime as dt
from dataclasses import replace

import pytest

from blockwright.engine.duty import Duty
from blockwright.engine.features import FEATURES
from blockwright.engine.job import FORMAT, GAUGE_FORMAT, GaugeSheet, Job, JobSheet
from blockwright.engine.layout import Case, Engine, Layout, Turning
from blockwright.engine.parts import CylinderParts, MainParts, Part, PartKind, WorkOrder
from blockwright.engine.positions import position
from blockwright.engine.rules import Accepted, Authority, LimitRule, Record, ShopRules
from blockwright.engine.states import read_state
from blockwright.fits.assess import assess, judge
from blockwright.fits.registry import REGISTRY
from blockwright.fits.sizes import Sizes
from blockwright.metrology.gauges import Gauge, Setting
from blockwright.metrology.readings import Reading
from blockwright.quantities import Kind

MM = 1e-3
NO_ERROR = {"resolution_si": 1e-15, "certificate_si": 1e-15, "repeatability_si": 1e-15, "expansion_per_k": 11.5e-6}
EXACT = (
    Gauge(id="G", **NO_ERROR),
    Gauge(id="R", measures=Kind.ROUGHNESS, **NO_ERROR),
    Gauge(id="T", measures=Kind.TORQUE, **NO_ERROR),
)
OF_KIND = {Kind.LENGTH: ("G", MM), Kind.ROUGHNESS: ("R", MM), Kind.TORQUE: ("T", 1.0)}
ENGINE = {
    "name": "two-cylinder test engine", "layout": Layout.INLINE, "cylinders": 2, "rotation": Turning.CLOCKWISE, "case": Case.CAPS,
    "housing_material": "grey iron", "bore_m": 86.0 * MM, "stroke_m": 80.0 * MM, "rod_length_m": 140.0 * MM,
    "pin_m": 22.0 * MM, "main_journal_m": 60.0 * MM, "rod_journal_m": 50.0 * MM, "main_housing_m": 64.0 * MM, "big_end_m": 54.0 * MM,
    "small_end_m": 22.0 * MM,
}  # fmt: skip
DUTY = {"power_w": 100e3, "at_speed_rad_s": 600.0, "redline_rad_s": 700.0}
KINDS = {"piston": PartKind.PISTON, "pin": PartKind.PIN, "rings": PartKind.RINGS, "rod": PartKind.ROD}
LETTER = {"piston": "P", "pin": "W", "rings": "R", "rod": "C"}


class Bench:
    """What a test lays out, and the job that it makes."""

    def __init__(self):
        self.engine, self.duty, self.rules = dict(ENGINE), dict(DUTY), {"thermometer_k": 0.0}
        self.gauges, self.settings = list(EXACT), []
        self.readings, self.limits, self.orders, self.records = [], [], [], []
        self.parts, self.seats, self.pages = {"B": Part(mark="B", kind=PartKind.BLOCK)}, {}, {}
        self.parts["K"] = Part(mark="K", kind=PartKind.CRANK)
        for number in (1, 2):
            self.furnish(number)
        for number in (1, 2, 3):
            self.seat(number)

    def furnish(self, number, **held):
        """Assign parts to a cylinder: the usual marks (P1, W1, R1, C1, shells CU1 and CL1) unless others are given."""
        page = {name: held.get(name, f"{letter}{number}") for name, letter in LETTER.items()}
        for name, mark in page.items():
            if mark:
                self.parts.setdefault(mark, Part(mark=mark, kind=KINDS[name]))
        shells = held.get("shells", (f"CU{number}", f"CL{number}"))
        self._shells(shells)
        self.pages[number] = CylinderParts(number=number, shells=shells, **page)
        return self

    def seat(self, number, shells=None):
        """Assign shells to a main: MU1 and ML1 unless others are given."""
        shells = (f"MU{number}", f"ML{number}") if shells is None else shells
        self._shells(shells)
        self.seats[number] = MainParts(number=number, shells=shells)
        return self

    def _shells(self, marks):
        for mark in marks:
            self.parts.setdefault(mark, Part(mark=mark, kind=PartKind.SHELL))

    def part(self, mark, **changes):
        """Change what is said of a part."""
        self.parts[mark] = replace(self.parts[mark], **changes)
        return self

    def read(self, part, feature, at="", state="", **more):
        """Read spots, each in mm (or N·m): `top_thrust=86.05`; a feature of one spot takes `mm=`. Keys of a reading go along as they are."""
        gauge, unit = OF_KIND[FEATURES[feature].kind]
        spots = {
            key: more.pop(key) for key in list(more) if key == "mm" or key.replace("_", " ") in FEATURES[feature].spots
        }
        cells = {
            "gauge": gauge,
            "part_temp_c": 20.0,
            "gauge_temp_c": 20.0,
            "bore_temp_c": 20.0,
            "sitting": "one",
        } | more
        held, problems = read_state(state)
        assert not problems
        for key, value in spots.items():
            spot = "" if key == "mm" else key.replace("_", " ")
            number = len(self.readings) + 1
            self.readings.append(
                Reading(
                    id=f"r{number}", part=part, feature=feature, at=at, spot=spot, text=f"{value:g}", unit="mm",
                    low_si=value * unit, high_si=value * unit, state=held or None, **cells,
                )
            )  # fmt: skip
        assert spots, f"no spot of {feature} among {more}"
        return self

    def bore(self, number, top=(0.0, 0.0), middle=(0.0, 0.0), bottom=(0.0, 0.0), size=86.0, state="plate on", **more):
        """A bore by what each height is above `size`, thrust and axial, mm."""
        spots = {
            f"{height}_{way}": size + more_mm
            for height, pair in (("top", top), ("middle", middle), ("bottom", bottom))
            for way, more_mm in zip(("thrust", "axial"), pair, strict=True)
        }
        return self.read("B", "bore", f"cylinder {number}", state, **spots, **more)

    def journal(self, feature, at, front=(0.0, 0.0), rear=(0.0, 0.0), size=60.0):
        """A journal by what each end is above `size`, across and along, mm."""
        spots = {
            f"{end}_{way}": size + more_mm
            for end, pair in (("front", front), ("rear", rear))
            for way, more_mm in zip(("across", "along"), pair, strict=True)
        }
        return self.read("K", feature, at, **spots)

    def withdraw(self, part, feature, spot="", at=None):
        """Withdraw every reading of a spot."""
        found = [
            r for r in self.readings if (r.part, r.feature, r.spot) == (part, feature, spot) and at in (None, r.at)
        ]
        assert found, f"nothing to withdraw: {part} {feature} {spot}"
        self.readings = [replace(r, withdrawn="a slip") if r in found else r for r in self.readings]
        return self

    def limit(self, fit, low=None, high=None, aim=None, authority=Authority.MAKER, unit=MM, **more):
        """A limit in mm."""
        low, high, aim = (None if value is None else value * unit for value in (low, high, aim))
        more = {"source": "invented sheet", "by": "A. Tester", "why": "a test"} | more
        self.limits.append(LimitRule(fit=fit, authority=authority, low_si=low, high_si=high, aim_si=aim, **more))
        return self

    def order(self, part, feature, at="", low=None, high=None):
        """Work ordered, in mm."""
        low, high = (None if value is None else value * MM for value in (low, high))
        self.orders.append(WorkOrder(part=part, feature=feature, at=at, low_si=low, high_si=high))
        return self

    def sign(self, event, fit, at, value_mm):
        """A signed acceptance at a value in mm."""
        day = dt.date(2026, 5, 1)
        number = len(self.records) + 1
        self.records.append(
            Record(number, Accepted(event), fit, at, value_mm * MM, f"{value_mm} mm", "A. Tester", day, "it will do")
        )
        return self

    def gauge(self, **facts):
        """Register a gauge."""
        self.gauges.append(Gauge(**facts))
        return self

    def setting(self, **facts):
        """Register a setting."""
        self.settings.append(Setting(**facts))
        return self

    def job(self):
        """The job as it lies on the bench."""
        sheet = JobSheet(
            format=FORMAT, job="test", engine=Engine(**self.engine), duty=Duty(**self.duty), rules=ShopRules(**self.rules),
            part=tuple(self.parts.values()), cylinder=tuple(self.pages.values()), main=tuple(self.seats.values()),
            limit=tuple(self.limits), order=tuple(self.orders),
        )  # fmt: skip
        gauges = GaugeSheet(format=GAUGE_FORMAT, gauge=tuple(self.gauges), setting=tuple(self.settings))
        return Job(sheet, gauges, tuple(self.readings), tuple(self.records))

    def assess(self):
        """The whole judgement."""
        return assess(self.job())

    def judge(self, fit, at):
        """One fit at one position, whether it is looked for or not."""
        where = position(at)
        assert where is not None
        return judge(Sizes(self.job()), REGISTRY[fit], where)


@pytest.fixture
def bench():
    """An empty bench: two cylinders in line, iron block with caps, floating pins, torque plate wanted."""
    return Bench()


@pytest.fixture(scope="session")
def new_bench():
    """The bench itself, for tests that lay out many."""
    return Bench
