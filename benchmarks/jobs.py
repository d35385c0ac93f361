"""Jobs of any size, made in memory; every number invented."""

from dataclasses import replace
from importlib import resources
from pathlib import Path

from blockwright.choices.plan import plan
from blockwright.engine.duty import Duty
from blockwright.engine.features import FEATURES
from blockwright.engine.job import FORMAT, GAUGE_FORMAT, GaugeSheet, Job, JobSheet
from blockwright.engine.layout import Case, Engine, Layout, Turning
from blockwright.engine.parts import CylinderParts, MainParts, Part, PartKind
from blockwright.engine.positions import Place
from blockwright.jobfile.folder import read_folder
from blockwright.metrology.readings import Reading


def hillclimb(readings: int = 0) -> Job:
    """The flat six of the demonstration, with so many readings: further ones repeat spots from the first on, at the same value."""
    with resources.as_file(resources.files("blockwright.demos") / "hillclimb") as folder:
        job = read_folder(Path(folder)).job
    taken = job.readings
    more = (replace(taken[n % len(taken)], id=f"again{n}", cells={}) for n in range(readings - len(taken)))
    return replace(job, readings=(*taken, *more))


def engine_of(cylinders: int) -> Job:
    """A V engine with every row of its plan filled; invented."""
    sheet = _sheet(cylinders)
    made = plan(sheet)
    gauges = GaugeSheet(format=GAUGE_FORMAT, gauge=made.gauges, setting=made.settings)
    return Job(sheet, gauges, tuple(_filled(reading, sheet.engine) for reading in made.readings))


def _sheet(cylinders: int) -> JobSheet:
    engine = Engine(
        name="Bench", layout=Layout.V, cylinders=cylinders, rotation=Turning.CLOCKWISE, case=Case.CAPS, housing_material="grey iron",
        bank_angle_rad=1.5, bore_m=0.086, stroke_m=0.086, rod_length_m=0.143, main_journal_m=0.055, rod_journal_m=0.048, pin_m=0.021,
    )  # fmt: skip
    numbers = [each.number for each in engine.positions(Place.CYLINDER)]
    marks = {"P": PartKind.PISTON, "W": PartKind.PIN, "R": PartKind.RINGS, "C": PartKind.ROD}
    mains = range(1, engine.main_count + 1)
    parts = [Part(mark="B1", kind=PartKind.BLOCK), Part(mark="K1", kind=PartKind.CRANK)]
    parts += [Part(mark=f"{mark}{n}", kind=kind) for mark, kind in marks.items() for n in numbers]
    parts += [
        Part(mark=f"{where}{half}{n}", kind=PartKind.SHELL)
        for where, each in (("C", numbers), ("M", mains))
        for n in each
        for half in "UL"
    ]
    held = [
        CylinderParts(number=n, piston=f"P{n}", pin=f"W{n}", rings=f"R{n}", rod=f"C{n}", shells=(f"CU{n}", f"CL{n}"))
        for n in numbers
    ]
    seats = [MainParts(number=n, shells=(f"MU{n}", f"ML{n}")) for n in mains]
    return JobSheet(
        format=FORMAT, job="bench", engine=engine, duty=Duty(power_w=1e5, at_speed_rad_s=500.0, redline_rad_s=600.0),
        part=tuple(parts), cylinder=tuple(held), main=tuple(seats),
    )  # fmt: skip


def _filled(reading: Reading, engine: Engine) -> Reading:
    """The reading, taken: nominal size, or 0.4 to 0.45 mm between blades, or something in the middle of what is plausible."""
    nominal = FEATURES[reading.feature].nominal(engine)
    if reading.setting:
        return replace(reading, text="0", low_si=0.0, high_si=0.0)
    if reading.gauge == "FB1":
        return replace(reading, text="0.40 to 0.45", low_si=0.40e-3, high_si=0.45e-3)
    value = 1.5e-3 if nominal is None else nominal
    return replace(reading, text=f"{1e3 * value}", low_si=value, high_si=value)
