"""Made-up engines of every architecture that the route knows, and the two demonstrations. None of the made-up ones exists."""

from importlib import resources

from blockwright.choices.route.content import steps_for
from blockwright.choices.route.graph import route_from
from blockwright.engine.assembly import Assembly, CamPlace, Drive, HeadFor, PistonWay, RearSeal
from blockwright.engine.duty import Cooling, Duty
from blockwright.engine.job import FORMAT, GAUGE_FORMAT, GaugeSheet, Job, JobSheet
from blockwright.engine.layout import Case, Engine, Entering, Layout, PinHold, Turning
from blockwright.jobfile.folder import read_folder

SPLIT_FLAT = {"layout": Layout.FLAT, "case": Case.SPLIT, "cylinders": 4}
PUSHRODS = {"pushrods": True, "cam_drive": Drive.GEARS}


def job(assembly=None, duty=None, fasteners=(), **facts):
    """A made-up engine without parts or readings; an inline four with caps unless said otherwise."""
    told = {
        "name": "made up", "layout": Layout.INLINE, "cylinders": 4, "rotation": Turning.CLOCKWISE, "case": Case.CAPS,
        "housing_material": "grey iron", "bore_m": 0.086, "stroke_m": 0.080, "rod_length_m": 0.140,
    } | facts  # fmt: skip
    work = Duty(power_w=1e5, at_speed_rad_s=600.0, redline_rad_s=700.0, **(duty or {}))
    how = Assembly(**(assembly or {}))
    engine = Engine(**told)
    assert not (*engine.faults(), *how.faults(engine))
    return Job(
        JobSheet(format=FORMAT, job="made up", engine=engine, duty=work, assembly=how, fastener=tuple(fasteners)),
        GaugeSheet(format=GAUGE_FORMAT),
    )


ENGINES = {
    "caps, piston on its rod from above": job(),
    "caps, piston from below": job(pistons=Entering.BEFORE),
    "bedplate": job(case=Case.BEDPLATE),
    "bedplate, piston from below": job(case=Case.BEDPLATE, pistons=Entering.BEFORE, assembly={"case_o_rings": True}),
    "split, pistons alone": job(**SPLIT_FLAT, assembly={"case_o_rings": True, "oil_jets": True, "pump_inside": True}),
    "split, pushrods": job(**SPLIT_FLAT, assembly={**PUSHRODS, "pistons_enter": PistonWay.BARREL, "head_for": HeadFor.CYLINDER}),
    "split, pistons first": job(**SPLIT_FLAT, pistons=Entering.BEFORE),
    "in-block cam, V": job(layout=Layout.V, bank_angle_rad=1.57, cylinders=8, assembly={"pushrods": True, "rear_cover": True}),
    "in-block cam, seal of two halves": job(assembly={"cam": CamPlace.BLOCK, "rear_seal": RearSeal.HALVES, "thrust_main": 3}),
    "one angle, alone": job(**SPLIT_FLAT, assembly={"one_angle": (2, 3)}),
    "one angle, from above": job(assembly={"one_angle": (1, 4)}),
    "one angle, from below": job(pistons=Entering.BEFORE, assembly={"one_angle": (2,)}),
    "belt": job(assembly={"cam_drive": Drive.BELT}, pin=PinHold.PRESSED),
    "short block": job(assembly={"heads": False}),
    "short block with its cam": job(assembly={"heads": False, "pushrods": True}),
    "caps, pistons alone": job(assembly={"pistons_enter": PistonWay.ALONE}),
    "one cylinder, air": job(cylinders=1, assembly={"pistons_enter": PistonWay.BARREL}, duty={"cooling": Cooling.AIR}),
    "sixteen": job(layout=Layout.V, bank_angle_rad=1.0, cylinders=16, case=Case.BEDPLATE, assembly={"dry_sump": True}),
}  # fmt: skip


def demo(name):
    with resources.as_file(resources.files("blockwright.demos") / name) as folder:
        return read_folder(folder).job


ENGINES |= {name: demo(name) for name in ("harbour", "hillclimb")}
ROUTES = {name: route_from(steps_for(each)) for name, each in ENGINES.items()}
