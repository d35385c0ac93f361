"""Every paper of an engine: one declaration from which the page, the addresses and the files' names are made."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from django.utils.text import slugify

from blockwright.bench.papers.source import Source
from blockwright.engine.job import Job
from blockwright.report.export.files import csv_files, json_file, workbook
from blockwright.report.paper import paper as named_paper

PDF, ZIP = "application/pdf", "application/zip"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
JSON, CSV, SVG = "application/json", "text/csv; charset=utf-8", "image/svg+xml"
SIZES = ("A4", "Letter")
STAMP = (2000, 1, 1, 0, 0, 0)
"""The time in a zip of pictures, so that the same job gives the same bytes."""


@dataclass(frozen=True)
class Paper:
    """One paper. `make` gives its bytes from the source and the name of the paper's size; `lacking` says why there is none, or nothing.

    `at_work`: the engine at work stands on it, where that is worked out.
    """

    key: str
    name: str
    words: str
    file: str
    media: str
    make: Callable[[Source, str], bytes]
    sized: bool = False
    whole: bool = False
    at_work: bool = False
    lacking: Callable[[Job], str] = lambda job: ""

    @property
    def ending(self) -> str:
        """`pdf`, `zip`, ...: what the file's name ends in."""
        return self.file.rpartition(".")[2]

    def file_name(self, job: Job, size: str) -> str:
        """`17-harbour-four-build-sheet-letter.pdf`: letters and digits that every system takes."""
        stem, _, ending = self.file.rpartition(".")
        called = slugify(job.sheet.job)[:60].strip("-") or "job"
        of_size = f"-{size.lower()}" if self.sized and size != SIZES[0] else ""
        return f"{called}-{stem}{of_size}.{ending}"


def _sheet(source: Source, size: str) -> bytes:
    from blockwright.report.sheet.make import sheet_pdf

    return sheet_pdf(source.assessment, source.digests, named_paper(size), source.lost, source.work)


def _labels(source: Source, size: str) -> bytes:
    from blockwright.report.labels import labels_pdf

    return labels_pdf(source.job, size)


def _blank(every: bool) -> Callable[[Source, str], bytes]:
    def make(source: Source, size: str) -> bytes:
        from blockwright.report.blank import blank_pdf

        return blank_pdf(source.job, size, every=every)

    return make


def _pictures(source: Source, size: str) -> bytes:
    from blockwright.report.pictures.every import pictures

    drawn = pictures(source.assessment, source.progress)
    return zipped((f"{name}.svg", svg.encode()) for name, svg in drawn)


def _folder(source: Source, size: str) -> bytes:
    return zipped(source.folder.items())


def zipped(files: Iterable[tuple[str, bytes]]) -> bytes:
    """Files as one zip, the same bytes for the same files."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files:
            info = zipfile.ZipInfo(name, STAMP)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = 0o644 << 16
            archive.writestr(info, content)
    return out.getvalue()


def _no_labels(job: Job) -> str:
    from blockwright.report.labels import labels_of

    return "" if labels_of(job) else "No part is assigned to a cylinder or a main bearing yet."


def _none_left(job: Job) -> str:
    left = any(not each.withdrawn and not each.taken for each in job.readings)
    return "" if left else "No reading is left to take."


def _no_readings(job: Job) -> str:
    return "" if any(not each.withdrawn for each in job.readings) else "No reading is planned yet."


PAPERS: tuple[Paper, ...] = (
    Paper(
        "sheet",
        "Build sheet",
        "The engine on paper: every fit, who decides, what is signed. It can be held against its data.",
        "build-sheet.pdf",
        PDF,
        _sheet,
        sized=True,
        at_work=True,
    ),
    Paper(
        "labels",
        "Labels",
        "For bagged part sets, one a cylinder and one a main, each with a code that a tablet reads.",
        "labels.pdf",
        PDF,
        _labels,
        sized=True,
        lacking=_no_labels,
    ),
    Paper(
        "blank",
        "Readings to take",
        "A form to write on, in the order of measuring, where no tablet goes.",
        "readings-to-take.pdf",
        PDF,
        _blank(False),
        sized=True,
        lacking=_none_left,
    ),
    Paper(
        "blank-all",
        "All readings",
        "The same form with the readings that are taken, to take them a second time.",
        "all-readings.pdf",
        PDF,
        _blank(True),
        sized=True,
        lacking=_no_readings,
    ),
    Paper(
        "pictures",
        "Pictures",
        "The engine plan, the bores, the ring gaps, the route: drawings (SVG) in a zip.",
        "pictures.zip",
        ZIP,
        _pictures,
    ),
    Paper(
        "workbook",
        "Workbook",
        "Fits, readings, parts and gauges as a spreadsheet (XLSX), numbers as numbers.",
        "assessment.xlsx",
        XLSX,
        lambda source, size: workbook(source.assessment, source.work),
        at_work=True,
    ),
    Paper(
        "tables",
        "Tables",
        "The same tables as CSV, one file each, in a zip.",
        "tables.zip",
        ZIP,
        lambda source, size: zipped(csv_files(source.assessment, source.work).items()),
        at_work=True,
    ),
    Paper(
        "json",
        "For programs",
        "The whole assessment as JSON by the published schema, in SI.",
        "assessment.json",
        JSON,
        lambda source, size: json_file(source.assessment, source.seen.steps),
    ),
    Paper(
        "folder",
        "The whole job",
        "The job's folder with its photos and every event, in a zip: it can be brought in again, here or elsewhere.",
        "job.zip",
        ZIP,
        _folder,
        whole=True,
    ),
)
BY_KEY: Mapping[str, Paper] = {each.key: each for each in PAPERS}
GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("To print", ("sheet", "labels", "blank", "blank-all")),
    ("To take out", ("folder", "workbook", "tables", "json", "pictures")),
)
