"""What the tests of the sheet share: jobs of many kinds, made in memory or from the demonstration, and eyes for a PDF."""

import io
import itertools
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

import pypdfium2
from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from blockwright.choices.plan import plan
from blockwright.engine.duty import Duty
from blockwright.engine.features import FEATURES
from blockwright.engine.job import FORMAT, GAUGE_FORMAT, GaugeSheet, Job, JobSheet
from blockwright.engine.layout import Case, Engine, Layout, Turning
from blockwright.engine.parts import CylinderParts, MainParts, Part, PartKind
from blockwright.engine.positions import Place
from blockwright.jobfile.folder import read_folder
from blockwright.metrology.readings import Reading
from blockwright.report.sheet.digests import Digests
from blockwright.report.sheet.make import sheet_pdf
from blockwright.running.assess import assess

ANY = Digests({"job.toml": "0" * 64, "readings.csv": "f" * 64})
MAY_BREAK = "\N{ZERO WIDTH SPACE}"
POINT_MM = 25.4 / 72.0


def demo(name: str) -> Job:
    with resources.as_file(resources.files("blockwright.demos") / name) as folder:
        return read_folder(Path(folder)).job


def empty() -> Job:
    """An engine and its duty, and nothing else: no part, no gauge, no reading."""
    sheet = JobSheet(format=FORMAT, job="E", engine=_engine("Empty", 1, Layout.INLINE), duty=_duty())
    return Job(sheet, GaugeSheet(format=GAUGE_FORMAT))


def unread(cylinders: int) -> Job:
    """All parts and rows of a V engine, nothing read."""
    sheet = _sheet(cylinders)
    made = plan(sheet)
    return Job(sheet, GaugeSheet(format=GAUGE_FORMAT, gauge=made.gauges, setting=made.settings), made.readings)


def filled(cylinders: int) -> Job:
    """The same with every row read; invented."""
    job = unread(cylinders)
    return replace(job, readings=tuple(_filled(reading, job.engine) for reading in job.readings))


def with_readings(job: Job, count: int) -> Job:
    """The job with so many readings: further ones repeat what is there."""
    taken = job.readings
    more = (replace(taken[n % len(taken)], id=f"again{n}", cells={}) for n in range(count - len(taken)))
    return replace(job, readings=(*taken, *more))


def long_names() -> Job:
    """The harbour four with names as long as anybody might give."""
    job = demo("harbour")
    sheet = job.sheet
    word = "Unbreakablysolidwordwithoutanyspace" * 3
    parts = tuple(
        replace(part, maker=f"{part.maker} {word}", batch=word, coating=word, note=f"{word} {word}")
        for part in sheet.part
    )
    orders = tuple(replace(order, work=f"{order.work} {word}", shop=word) for order in sheet.order)
    engine = replace(sheet.engine, name=f"{sheet.engine.name}, {word} {'and so on ' * 12}", front=word)
    long = replace(
        sheet,
        job=f"Job {word}",
        customer=word * 2,
        engine=engine,
        part=parts,
        order=orders,
        duty=replace(sheet.duty, use=word, entered={}),
    )
    gauges = replace(
        job.gauge_sheet, gauge=tuple(replace(gauge, name=f"{gauge.name} {word}") for gauge in job.gauge_sheet.gauge)
    )
    records = tuple(replace(record, by=word, why=f"{record.why} {word}") for record in job.records)
    return Job(long, gauges, tuple(replace(reading, by=word) for reading in job.readings), records, job.passes)


def long_marks() -> Job:
    """The harbour four with marks of forty letters on every piston, ring set, pin, rod and shell."""
    job = demo("harbour")

    def named(mark: str) -> str:
        return f"{mark}-{'LONGMARK' * 5}" if mark else mark

    kept = {part.mark for part in job.sheet.part if part.kind in (PartKind.BLOCK, PartKind.CRANK)} | {"engine"}

    def other(mark: str) -> str:
        return mark if mark in kept else named(mark)

    parts = tuple(replace(part, mark=other(part.mark)) for part in job.sheet.part)
    held = tuple(
        replace(
            each,
            piston=named(each.piston),
            pin=named(each.pin),
            rings=named(each.rings),
            rod=named(each.rod),
            shells=tuple(map(named, each.shells)),
        )
        for each in job.sheet.cylinder
    )
    seats = tuple(replace(each, shells=tuple(map(named, each.shells))) for each in job.sheet.main)
    readings = tuple(replace(reading, part=other(reading.part)) for reading in job.readings)
    passes = tuple(replace(each, reading=replace(each.reading, part=other(each.reading.part))) for each in job.passes)
    return Job(
        replace(job.sheet, part=parts, cylinder=held, main=seats), job.gauge_sheet, readings, job.records, passes
    )


JOBS: dict[str, Callable[[], Job]] = {
    "harbour": lambda: demo("harbour"),
    "hillclimb": lambda: demo("hillclimb"),
    "empty": empty,
    "unread": lambda: unread(4),
    "long names": long_names,
    "long marks": long_marks,
    "600 readings": lambda: with_readings(demo("hillclimb"), 600),
    "sixteen cylinders": lambda: filled(16),
}


@cache
def job_of(kind: str) -> Job:
    return JOBS[kind]()


@cache
def pdf_of(kind: str, paper: str = "a4") -> bytes:
    return sheet_pdf(assess(job_of(kind)), ANY, paper)


def reader(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def plainly(text: str) -> str:
    """A text on one line, without places to break."""
    return " ".join(text.replace(MAY_BREAK, "").split())


@cache
def pages_of(pdf: bytes) -> tuple[str, ...]:
    """The text of each page, on one line."""
    return tuple(plainly(page.extract_text()) for page in reader(pdf).pages)


def text_of(pdf: bytes) -> str:
    """All text of a PDF on one line, headers and footers of each page between."""
    return " ".join(pages_of(pdf))


def elements(pdf: PdfReader) -> Iterator[DictionaryObject]:
    """Every element of the structure tree, from the top down."""
    waiting: list[Any] = [pdf.trailer["/Root"]["/StructTreeRoot"]]  # type: ignore[index]
    while waiting:
        here = waiting.pop().get_object()
        if isinstance(here, list):
            waiting.extend(reversed(here))
        elif isinstance(here, DictionaryObject):
            if "/S" in here:
                yield here
            if "/K" in here:
                waiting.append(here["/K"])


def alts(pdf: bytes) -> list[str]:
    """What is said of each picture, in order."""
    return [str(each.get("/Alt", "")) for each in elements(reader(pdf)) if each["/S"] == "/Figure"]


def boxes(pdf: bytes) -> Iterator[tuple[int, tuple[float, float], list[tuple[str, tuple[float, float, float, float]]]]]:
    """Page by page: its number, its size, and every run of text with its box (left, bottom, right, top), in points."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        for number, page in enumerate(document, 1):
            seen = page.get_textpage()
            runs = [seen.get_rect(index) for index in range(seen.count_rects())]
            yield number, page.get_size(), [(seen.get_text_bounded(*box), box) for box in runs]
            seen.close()
            page.close()
    finally:
        document.close()


def collisions(runs: list[tuple[str, tuple[float, float, float, float]]]) -> list[tuple[str, str]]:
    """Runs of text that lie over each other by more than touching lines do."""
    found = []
    for (one, a), (other, b) in itertools.combinations(runs, 2):
        wide = min(a[2], b[2]) - max(a[0], b[0])
        tall = min(a[3], b[3]) - max(a[1], b[1])
        if wide > 1.0 and tall > 0.5 * min(a[3] - a[1], b[3] - b[1]) and one.strip() and other.strip():
            found.append((one, other))
    return found


def _engine(name: str, cylinders: int, layout: Layout) -> Engine:
    return Engine(
        name=name, layout=layout, cylinders=cylinders, rotation=Turning.CLOCKWISE, case=Case.CAPS, housing_material="grey iron",
        bank_angle_rad=1.5 if layout is Layout.V else None, bore_m=0.086, stroke_m=0.086, rod_length_m=0.143, main_journal_m=0.055,
        rod_journal_m=0.048, pin_m=0.021, heights={"top": 0.01, "middle": 0.05, "bottom": 0.09},
    )  # fmt: skip


def _duty() -> Duty:
    return Duty(power_w=1e5, at_speed_rad_s=500.0, redline_rad_s=600.0)


def _sheet(cylinders: int) -> JobSheet:
    engine = _engine("Bench", cylinders, Layout.V)
    numbers = [each.number for each in engine.positions(Place.CYLINDER)]
    mains = range(1, engine.main_count + 1)
    marks = {"P": PartKind.PISTON, "W": PartKind.PIN, "R": PartKind.RINGS, "C": PartKind.ROD}
    parts = [Part(mark="B1", kind=PartKind.BLOCK), Part(mark="K1", kind=PartKind.CRANK)]
    parts += [Part(mark=f"{mark}{n}", kind=kind) for mark, kind in marks.items() for n in numbers]
    parts += [
        Part(mark=f"{at}{half}{n}", kind=PartKind.SHELL)
        for at, each in (("C", numbers), ("M", mains))
        for n in each
        for half in "UL"
    ]
    held = tuple(
        CylinderParts(number=n, piston=f"P{n}", pin=f"W{n}", rings=f"R{n}", rod=f"C{n}", shells=(f"CU{n}", f"CL{n}"))
        for n in numbers
    )
    seats = tuple(MainParts(number=n, shells=(f"MU{n}", f"ML{n}")) for n in mains)
    return JobSheet(
        format=FORMAT, job="bench", engine=engine, duty=_duty(), part=tuple(parts), cylinder=held, main=seats
    )


def _filled(reading: Reading, engine: Engine) -> Reading:
    nominal = FEATURES[reading.feature].nominal(engine)
    if reading.setting:
        return replace(reading, text="0", low_si=0.0, high_si=0.0)
    if reading.gauge == "FB1":
        return replace(reading, text="0.40 to 0.45", low_si=0.40e-3, high_si=0.45e-3)
    value = 1.5e-3 if nominal is None else nominal
    return replace(reading, text=f"{1e3 * value}", low_si=value, high_si=value)
