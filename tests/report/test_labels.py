"""Labels: every code is read back from the printed page by a reader of others (zxing-cpp), at the size it is printed in."""

import io
from collections import Counter
from dataclasses import replace
from importlib import resources
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from pypdf import PdfReader

from blockwright.engine.job import Job
from blockwright.engine.parts import CylinderParts
from blockwright.jobfile.folder import read_folder
from blockwright.problems import BlockwrightError
from blockwright.report.labels import HEAD, labels_of, labels_pdf

SCAN_DPI = 200
"""A page scanned at this is coarser than what the camera of a tablet sees of a label in the hand."""


def demo(name: str) -> Job:
    with resources.as_file(resources.files("blockwright.demos") / name) as folder:
        return read_folder(Path(folder)).job


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["harbour", "hillclimb"])
def test_every_code_reads_from_the_page(name: str, paper: str) -> None:
    job = demo(name)
    pages = pypdfium2.PdfDocument(labels_pdf(job, paper))
    read = [
        code.text
        for page in pages
        for code in zxingcpp.read_barcodes(
            page.render(scale=SCAN_DPI / 72).to_pil(), formats=zxingcpp.BarcodeFormat.QRCode
        )
    ]
    assert Counter(read) == Counter(label.code for label in labels_of(job))


def test_the_code_is_25_mm_wide() -> None:
    page = pypdfium2.PdfDocument(labels_pdf(demo("harbour")))[0].render(scale=SCAN_DPI / 72).to_pil()
    found = zxingcpp.read_barcodes(page)[0].position
    width_mm = (found.top_right.x - found.top_left.x) / SCAN_DPI * 25.4
    assert 20.0 < width_mm < 25.0, "25 mm with its quiet margin"


def test_a_label_a_place_with_the_marks_of_its_parts() -> None:
    job = demo("harbour")
    labels = {label.place: label for label in labels_of(job)}
    held = job.in_cylinder(2)
    assert ("piston", held.piston) in labels["cylinder 2"].parts
    assert ("rings", held.rings) in labels["cylinder 2"].parts
    assert labels["cylinder 2"].code.splitlines()[0] == HEAD
    assert len(labels) == job.engine.cylinders + sum(bool(job.in_main(n + 1).shells) for n in range(5))


def test_the_page_says_what_the_codes_hold() -> None:
    job = demo("harbour")
    text = "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(labels_pdf(job))).pages)
    for label in labels_of(job):
        assert label.place.capitalize() in text
        assert all(mark in text for _, mark in label.parts)
    assert "INVENTED" in text


def test_long_names_stay_readable() -> None:
    job = demo("harbour")
    long = CylinderParts(number=1, piston="P" * 200, rings="R" * 200, pin="W" * 200, rod="C" * 200)
    sheet = replace(job.sheet, job="J" * 300, cylinder=(long,), main=(), engine=replace(job.engine, name="N" * 300))
    page = pypdfium2.PdfDocument(labels_pdf(replace(job, sheet=sheet)))[0].render(scale=SCAN_DPI / 72).to_pil()
    assert zxingcpp.read_barcodes(page)[0].text == labels_of(replace(job, sheet=sheet))[0].code


def test_without_parts_there_is_nothing_to_print() -> None:
    job = demo("harbour")
    with pytest.raises(BlockwrightError, match="no part is assigned"):
        labels_pdf(replace(job, sheet=replace(job.sheet, cylinder=(), main=())))
