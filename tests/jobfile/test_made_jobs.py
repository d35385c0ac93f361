"""Jobs of every layout, made at random: written, read, written again."""

import datetime as dt
import math
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blockwright.engine.duty import Cooling, Duty
from blockwright.engine.features import FEATURES
from blockwright.engine.filing import Pass
from blockwright.engine.job import FORMAT, GAUGE_FORMAT, GaugeSheet, Job, JobSheet
from blockwright.engine.layout import Case, Engine, Entering, Layout, PinHold, ThrustSide, Turning
from blockwright.engine.parts import CylinderParts, MainParts, Part, PartKind
from blockwright.engine.rules import Accepted, Authority, LimitRule, Record, ShopRules, Side, Units
from blockwright.engine.states import OPPOSITES
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.exact import WRITTEN_IN, quantity_text
from blockwright.jobfile.folder import read_folder
from blockwright.jobfile.record_csv import seal
from blockwright.jobfile.spans import figure_span, limit_span
from blockwright.jobfile.write import folder_texts, write_folder
from blockwright.materials import alloys
from blockwright.metrology.gauges import Gauge, Sense, Setting
from blockwright.metrology.readings import Reading
from blockwright.metrology.verdict import Acceptance
from blockwright.quantities import Kind, parse

WORDS = st.text(st.characters(exclude_categories=["Cs", "Cc"]) | st.sampled_from('";,\n\t='), max_size=12).map(
    str.strip
)
SAID = WORDS.filter(bool)
DAYS = st.none() | st.dates(dt.date(1990, 1, 1), dt.date(2100, 1, 1))


def between(low: float, high: float):
    return st.floats(low, high).filter(lambda value: not 0 < abs(value) < 1e-12)


def perhaps(strategy):
    return st.none() | strategy


@st.composite
def engines(draw) -> Engine:
    layout = draw(st.sampled_from(Layout))
    half = draw(st.integers(1, 6))
    count = half if layout is Layout.INLINE else 2 * half
    numbers = draw(st.permutations(range(1, count + 1)))
    banks = [tuple(numbers)] if layout is Layout.INLINE else [tuple(numbers[:half]), tuple(numbers[half:])]
    depths = sorted(draw(st.lists(between(1e-3, 59e-3), min_size=5, max_size=5, unique=True)))
    heights = dict(
        zip(
            ("top", "middle", "bottom"),
            sorted(draw(st.lists(between(0, 0.2), min_size=3, max_size=3, unique=True))),
            strict=True,
        )
    )
    return Engine(
        name=draw(WORDS), layout=layout, cylinders=count, banks=draw(st.sampled_from([(), tuple(banks)])),
        bank_angle_rad=draw(between(0.2, 3.0)) if layout is Layout.V else None, rotation=draw(st.sampled_from(Turning)), front=draw(WORDS),
        firing_order=draw(st.just(()) | st.permutations(range(1, count + 1)).map(tuple)),
        shared_throws=None if layout is Layout.INLINE else draw(perhaps(st.booleans())), mains=draw(perhaps(st.integers(1, 14))),
        case=draw(st.sampled_from(Case)), pistons=draw(st.sampled_from(Entering)), pin=draw(st.sampled_from(PinHold)), torque_plate=draw(st.booleans()),
        housing_material=draw(st.sampled_from(alloys.alloy_names())), liner_material=draw(st.sampled_from(["", *alloys.alloy_names()])),
        bore_m=draw(between(80e-3, 120e-3)), stroke_m=draw(between(30e-3, 90e-3)), rod_length_m=draw(between(100e-3, 300e-3)),
        pin_offset_m=draw(between(0, 5e-3)), pin_offset_side=draw(st.sampled_from(ThrustSide)), deck_m=draw(perhaps(between(-3e-3, 10e-3))),
        bore_spacing_m=draw(perhaps(between(0.13, 0.3))), heights=draw(st.sampled_from([{}, heights])),
        top_ring_m=depths[0], second_ring_m=depths[1], oil_ring_m=draw(st.sampled_from([None, depths[2]])), skirt_top_m=depths[3], skirt_bottom_m=depths[4] + 10e-3,
        pin_m=draw(perhaps(between(10e-3, 30e-3))), main_journal_m=draw(perhaps(between(40e-3, 50e-3))), main_housing_m=draw(perhaps(between(55e-3, 80e-3))),
        rod_journal_m=draw(perhaps(between(40e-3, 50e-3))), big_end_m=draw(perhaps(between(55e-3, 80e-3))),
    )  # fmt: skip


@st.composite
def duties(draw) -> Duty:
    redline = draw(between(200, 2000))
    return Duty(
        use=draw(WORDS), power_w=draw(between(2e3, 1e6)), at_speed_rad_s=draw(between(100, redline)), redline_rad_s=redline,
        boost_pa=draw(between(0, 5e5)), nitrous=draw(st.booleans()), fuel=draw(WORDS), full_load_share=draw(between(0, 1)),
        cooling=draw(st.sampled_from(Cooling)), coolant_c=draw(perhaps(between(20, 120))), oil_c=draw(perhaps(between(20, 160))),
        peak_pressure_pa=draw(perhaps(between(21e5, 390e5))), knock=draw(between(1, 4)),
    )  # fmt: skip


RULES = st.builds(
    ShopRules, level=between(0.5, 0.9999), acceptance=st.sampled_from(Acceptance), thermometer_k=between(0, 10), units=st.sampled_from(Units)
)  # fmt: skip


@st.composite
def parts_and_places(draw, engine: Engine) -> dict[str, tuple]:
    kinds = {"P": PartKind.PISTON, "W": PartKind.PIN, "R": PartKind.RINGS, "C": PartKind.ROD}
    marks = [("B1", PartKind.BLOCK), ("K1", PartKind.CRANK)]
    marks += [(f"{letter}{n}", kind) for letter, kind in kinds.items() for n in range(1, engine.cylinders + 2)]
    marks += [(f"S{half}{n}", PartKind.SHELL) for half in "UL" for n in range(engine.cylinders + engine.main_count + 1)]
    some = st.builds(
        dict, maker=WORDS, note=WORDS, file_fit=perhaps(st.booleans()), mass_kg=perhaps(between(0.01, 100))
    )
    said = draw(st.lists(some, min_size=3, max_size=3))
    parts = [Part(mark=mark, kind=kind, **(said[n] if n < len(said) else {})) for n, (mark, kind) in enumerate(marks)]
    cylinders = [
        CylinderParts(number=n, piston=draw(st.sampled_from(["", f"P{n}"])), rings=f"R{n}", rod=f"C{n}", shells=draw(st.sampled_from([(), (f"SU{n}", f"SL{n}")])))
        for n in range(1, engine.cylinders + 1)
    ]  # fmt: skip
    first = engine.cylinders
    mains = [MainParts(number=n, shells=(f"SU{first + n}", f"SL{first + n}")) for n in range(1, engine.main_count + 1)]
    return {
        "part": tuple(parts), "cylinder": tuple(cylinders[:: draw(st.sampled_from([1, -1]))]), "main": tuple(mains),
    }  # fmt: skip


@st.composite
def limits(draw, engine: Engine) -> tuple[LimitRule, ...]:
    rules = []
    for name in draw(st.lists(st.sampled_from(list(REGISTRY)), max_size=6, unique=True)):
        fit = REGISTRY[name]
        at = draw(st.sampled_from(["", *map(str, engine.positions(fit.place))]))
        per_size = fit.size(engine) is not None and draw(st.booleans())
        least, most = (None if per_size else limit_span(fit, engine)) or (1e-6, 1e-2)
        inside = between(least + 0.01 * (most - least), most - 0.01 * (most - least))
        low, aim, high = sorted(draw(st.lists(inside, min_size=3, max_size=3, unique=True)))
        ending = "per_size" if per_size else "si"
        values = dict(zip((f"low_{ending}", f"aim_{ending}", f"high_{ending}"), (low, aim, high), strict=True))
        authority = draw(st.sampled_from([Authority.BUILDER, Authority.MAKER, Authority.MANUAL]))
        rules.append(
            LimitRule(fit=name, at=at, authority=authority, source=draw(WORDS), by=draw(SAID), why=draw(SAID), hard=draw(perhaps(st.sampled_from(Side))), **values)
        )  # fmt: skip
    return tuple(rules)


def largest_figure(kind: Kind) -> float:
    """The largest certificate or repeatability that nobody would ask about, or nearly."""
    span = figure_span(kind)
    assert span is not None
    return 0.99 * span[1]


@st.composite
def gauges(draw, engine: Engine) -> GaugeSheet:
    kinds = {"M1": (Kind.LENGTH, Sense.SIZE), "BG1": (Kind.LENGTH, draw(st.sampled_from([Sense.DEVIATION, Sense.BACKWARDS]))), "FB1": (Kind.LENGTH, Sense.BLADES), "TW1": (Kind.TORQUE, Sense.SIZE), "RT1": (Kind.ROUGHNESS, Sense.SIZE)}  # fmt: skip
    made = tuple(
        Gauge(
            id=mark, name=draw(WORDS), measures=kind, sense=sense, resolution_si=draw(between(0, 1e-3)), certificate_si=draw(perhaps(between(1e-9, largest_figure(kind)))),
            coverage=draw(between(1, 4)), repeatability_si=draw(perhaps(between(0, largest_figure(kind)))), repeatability_dof=draw(st.integers(0, 99)), due=draw(DAYS),
            expansion_per_k=draw(between(0, 50e-6)),
        )
        for mark, (kind, sense) in kinds.items()
    )  # fmt: skip
    setting = Setting(
        id="S1",
        gauge="BG1",
        size_m=engine.bore_m,
        master="M1",
        master_temp_c=draw(perhaps(between(0, 40))),
        when=draw(DAYS),
        by=draw(WORDS),
    )
    return GaugeSheet(format=GAUGE_FORMAT, gauge=made, setting=(setting,))


STATES = st.sets(st.sampled_from(list(OPPOSITES.items())), max_size=3).flatmap(
    lambda pairs: st.tuples(*(st.sampled_from(pair) for pair in sorted(pairs))).map(frozenset)
)


@st.composite
def readings(draw, engine: Engine, number: int) -> Reading:
    n = draw(st.integers(1, engine.cylinders))
    name = draw(st.sampled_from(["bore", "skirt", "top gap", "turning torque", "bore roughness"]))
    feature = FEATURES[name]
    part, at, gauge, text = {
        "bore": ("B1", f"cylinder {n}", "BG1", draw(st.sampled_from(["+5 um", "-0.4 thou", "0", "1/128"]))),
        "skirt": (f"P{n}", "", "M1", f"{engine.bore_m * 1e3 - 0.05:.3f} mm"),
        "top gap": (f"R{n}", f"cylinder {n}", "FB1", draw(st.sampled_from(["0.40 to 0.45 mm", "15 thou to 16 thou"]))),
        "turning torque": ("engine", str(draw(st.sampled_from([f"stage {stage}" for stage in engine.turning_stages]))), "TW1", "12.5 Nm"),
        "bore roughness": ("B1", f"cylinder {n}", "RT1", "3.2 um"),
    }[name]  # fmt: skip
    text = draw(st.sampled_from(["", text, text]))
    unit = "in" if text in ("0", "1/128") else ""
    ends = {"": (None, None), "0.40 to 0.45 mm": (0.0004, 0.00045), "15 thou to 16 thou": (0.000381, 0.0004064)}.get(
        text
    )
    if ends is None:
        value = parse(text, feature.kind, unit=unit or None, signed=True).si
        ends = (value, value)
    setting = "S1" if gauge == "BG1" else ""
    temperature = perhaps(between(-9, 59))
    return Reading(
        f"r{number}", part, name, at, draw(st.sampled_from(feature.spots)), draw(perhaps(between(0, 0.4))) if feature.depth else None, text, unit,
        *ends, gauge, setting, draw(st.sampled_from(["", "monday", "tuesday, late"])),
        draw(STATES) or None, draw(temperature), draw(temperature), draw(temperature), draw(WORDS), draw(DAYS), draw(WORDS), draw(WORDS),
    )  # fmt: skip


@st.composite
def records(draw, engine: Engine) -> tuple[Record, ...]:
    made: list[Record] = []
    for number in range(1, draw(st.integers(0, 3)) + 1):
        fit = REGISTRY[draw(st.sampled_from(["wall clearance", "rod side", "turning torque"]))]
        at = str(draw(st.sampled_from(engine.positions(fit.place))))
        text = "3.5 Nm" if fit.kind is Kind.TORQUE else draw(st.sampled_from(["0.05 mm", "2 thou", "-3 um"]))
        record = Record(
            number, draw(st.sampled_from(Accepted)), fit.name, at, parse(text, fit.kind, signed=True).si, text, draw(SAID), draw(DAYS), draw(SAID)
        )  # fmt: skip
        digest = seal(record, made[-1].digest if made else "") if draw(st.booleans()) else ""
        made.append(Record(**{**vars(record), "digest": digest}))
    return tuple(made)


@st.composite
def passes(draw, engine: Engine) -> tuple[Pass, ...]:
    made = []
    for number in range(1, draw(st.integers(0, 3)) + 1):
        n = draw(st.integers(1, engine.cylinders))
        reading = Reading(
            f"p{number}", f"R{n}", "top gap", f"cylinder {n}", "", draw(perhaps(between(0, 0.4))), "0.40 to 0.45 mm", "", 0.0004, 0.00045, "FB1", "",
            f"filing p{number}", draw(STATES) or None, draw(perhaps(between(0, 50))), None, draw(perhaps(between(0, 50))), draw(WORDS), draw(DAYS), draw(WORDS),
            draw(WORDS),
        )  # fmt: skip
        made.append(Pass(reading, draw(between(0, 1e4).map(lambda x: round(x, 6))), draw(SAID), draw(WORDS)))
    return tuple(made)


@st.composite
def jobs(draw) -> Job:
    engine = draw(engines())
    sheet = JobSheet(
        format=FORMAT, job=draw(WORDS), customer=draw(WORDS), invented=True, engine=engine, duty=draw(duties()), rules=draw(RULES),
        limit=draw(limits(engine)), **draw(parts_and_places(engine)),
    )  # fmt: skip
    count = draw(st.integers(0, 8))
    return Job(
        sheet,
        draw(gauges(engine)),
        tuple(draw(readings(engine, n)) for n in range(count)),
        draw(records(engine)),
        draw(passes(engine)),
    )


def round_trip(job: Job) -> None:
    with tempfile.TemporaryDirectory() as folder:
        texts = folder_texts(job)
        write_folder(Path(folder), texts)
        read = read_folder(Path(folder))
        assert read.job == job
        assert folder_texts(read.job) == texts
        assert folder_texts(read.job, read) == texts


@settings(max_examples=40)
@given(jobs())
def test_what_is_written_is_read(job: Job) -> None:
    round_trip(job)


@pytest.mark.slow
@settings(max_examples=200)
@given(jobs())
def test_what_is_written_is_read_of_many(job: Job) -> None:
    round_trip(job)


@settings(max_examples=40)
@given(jobs(), jobs())
def test_any_job_can_be_put_into_the_files_of_another(job: Job, other: Job) -> None:
    """Of one job into the layout of another: whatever stays, it reads back as the one that was meant."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder)
        write_folder(path, folder_texts(other))
        read = read_folder(path)
        texts = folder_texts(job, read)
        write_folder(path, texts, read.texts)
        assert read_folder(path).job == job


@given(
    st.sampled_from(list(Kind)),
    st.floats(allow_nan=False, allow_infinity=False, min_value=1e-12, max_value=1e12),
    st.booleans(),
)
def test_every_number_reads_back_to_the_last_bit(kind: Kind, size: float, below: bool) -> None:
    value = -size if below and kind not in (Kind.TEMPERATURE, Kind.PRESSURE) else size
    assert parse(quantity_text(value, kind), kind, signed=True).si == value


def test_every_kind_can_be_written() -> None:
    assert set(WRITTEN_IN) == set(Kind)


@pytest.mark.parametrize(
    ("value", "kind", "text"),
    [
        (0.0005842, Kind.LENGTH, "0.5842 mm"),
        (0.1, Kind.LENGTH, "100 mm"),
        (math.radians(90), Kind.ANGLE, "90 deg"),
        (265e3, Kind.POWER, "265 kW"),
        (0.95, Kind.RATIO, "0.95"),
        (1.3e5, Kind.PRESSURE_STEP, "1.3 bar"),
        (21.5, Kind.TEMPERATURE, "21.5 °C"),
        (11.5e-6, Kind.EXPANSION, "11.5 um/m/K"),
        (0.0, Kind.LENGTH, "0 mm"),
    ],
)
def test_numbers_as_a_builder_writes_them(value, kind, text) -> None:
    assert quantity_text(value, kind) == text
