"""Engines that examples are worked for. None of them exists; every size was made up."""

from __future__ import annotations

from dataclasses import dataclass, replace

from blockwright.engine.duty import Duty
from blockwright.engine.job import FORMAT, GAUGE_FORMAT, GaugeSheet, Job, JobSheet
from blockwright.engine.layout import Case, Engine, Layout, PinHold, Turning
from blockwright.engine.parts import CylinderParts, Part, PartKind

RPM = 3.141592653589793 / 30.0


@dataclass(frozen=True)
class Sample:
    """An invented engine with its duty, in words and as a job."""

    name: str
    words: str
    job: Job


FOUR = Engine(
    name="sample",
    layout=Layout.INLINE,
    cylinders=4,
    rotation=Turning.CLOCKWISE,
    case=Case.CAPS,
    housing_material="grey iron",
    bore_m=86e-3,
    stroke_m=86e-3,
    rod_length_m=143e-3,
    pin_m=22e-3,
    main_journal_m=55e-3,
    rod_journal_m=48e-3,
    big_end_m=51e-3,
    main_housing_m=59e-3,
)


def _duty(full_load: float, boost_bar: float) -> Duty:
    return Duty(
        power_w=100e3,
        at_speed_rad_s=5500 * RPM,
        redline_rad_s=6000 * RPM,
        boost_pa=boost_bar * 1e5,
        full_load_share=full_load,
    )


def _job(engine: Engine, duty: Duty, alloy: str, **rings: bool) -> Job:
    """A job with a piston and a ring set in cylinder 1, which is all that common practice looks at."""
    parts = (
        Part(mark="P1", kind=PartKind.PISTON, alloy=alloy),
        Part(mark="R1", kind=PartKind.RINGS, **rings),
    )
    held = (CylinderParts(number=1, piston="P1", rings="R1"),)
    sheet = JobSheet(format=FORMAT, job="sample", invented=True, engine=engine, duty=duty, part=parts, cylinder=held)
    return Job(sheet, GaugeSheet(format=GAUGE_FORMAT))


SAMPLES = (
    Sample(
        "touring",
        "an unboosted inline four with an iron block, pistons of 4032, pressed pins and rings that are not to be "
        "filed, at full load for 5 % of its time",
        _job(
            replace(FOUR, pin=PinHold.PRESSED),
            _duty(0.05, 0.0),
            "aluminium 4032",
            file_fit=False,
        ),
    ),
    Sample(
        "boosted",
        "a V6 with an iron block, two rods on a throw, 0.8 bar of boost, forged pistons of 2618 and thin file-fit "
        "rings, at full load for 20 % of its time",
        _job(
            replace(FOUR, layout=Layout.V, cylinders=6, bank_angle_rad=1.0472),
            _duty(0.20, 0.8),
            "aluminium 2618",
            file_fit=True,
            thin=True,
        ),
    ),
    Sample(
        "hard worked",
        "a flat four with an aluminium case that is split on the crank line, 1.3 bar of boost, forged pistons of "
        "2618 and file-fit rings, at full load for 60 % of its time",
        _job(
            replace(FOUR, layout=Layout.FLAT, case=Case.SPLIT, housing_material="aluminium A356"),
            _duty(0.60, 1.3),
            "aluminium 2618",
            file_fit=True,
        ),
    ),
)
