"""The blank form: every reading still to take, once, in the order of its file, on the page."""

import io
import re
from dataclasses import replace
from importlib import resources
from pathlib import Path

import pypdfium2
import pytest
from pypdf import PdfReader

from blockwright.choices.plan import plan
from blockwright.engine.job import Job
from blockwright.jobfile.folder import read_folder
from blockwright.problems import BlockwrightError
from blockwright.report.blank import blank_pdf

ROW = re.compile(r"\br\d+\b")


def demo(name: str) -> Job:
    with resources.as_file(resources.files("blockwright.demos") / name) as folder:
        return read_folder(Path(folder)).job


def to_take(name: str) -> Job:
    job = demo(name)
    planned = plan(job.sheet, full=True)
    return replace(
        job,
        readings=planned.readings,
        gauge_sheet=replace(job.gauge_sheet, gauge=planned.gauges, setting=planned.settings),
    )


def text_of(pdf: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)


@pytest.mark.parametrize("name", ["harbour", "hillclimb"])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_row_once_and_in_order(name: str, paper: str) -> None:
    job = to_take(name)
    assert ROW.findall(text_of(blank_pdf(job, paper))) == [reading.id for reading in job.readings]


def test_taken_and_withdrawn_rows_are_left_out() -> None:
    job = to_take("harbour")
    taken = replace(job.readings[3], low_si=0.0, high_si=0.0)
    withdrawn = replace(job.readings[5], withdrawn="dropped")
    rest = (*job.readings[:3], taken, job.readings[4], withdrawn, *job.readings[6:])
    left = [reading.id for number, reading in enumerate(job.readings) if number not in (3, 5)]
    assert ROW.findall(text_of(blank_pdf(replace(job, readings=rest)))) == left
    every = ROW.findall(text_of(blank_pdf(replace(job, readings=rest), every=True)))
    assert every == [reading.id for number, reading in enumerate(job.readings) if number != 5]


def test_six_hundred_rows_with_long_names_stay_on_the_page() -> None:
    job = to_take("harbour")
    many = [
        replace(
            job.readings[number % len(job.readings)], id=f"r{number}", part="B1 with a mark that goes on and on " * 2
        )
        for number in range(600)
    ]
    pdf = blank_pdf(replace(job, readings=tuple(many)))
    assert ROW.findall(text_of(pdf)) == [f"r{number}" for number in range(600)]
    for page in pypdfium2.PdfDocument(pdf):
        wide, high = page.get_size()
        words = page.get_textpage()
        for number in range(words.count_rects()):
            left, bottom, right, top = words.get_rect(number)
            assert 0 <= left <= right <= wide
            assert 0 <= bottom <= top <= high


def test_nothing_left_to_take_is_said() -> None:
    job = demo("harbour")
    taken = tuple(reading for reading in job.readings if reading.taken)
    with pytest.raises(BlockwrightError, match="no reading is left"):
        blank_pdf(replace(job, readings=taken))
