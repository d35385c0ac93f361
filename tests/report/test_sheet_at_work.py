"""The engine at work on the sheet: what was worked out for this very job stands there whole, and a sheet without it says so and works nothing out."""

import re
import subprocess
import sys
from dataclasses import replace

import pytest

from blockwright.fits.assessment import Assessment, Standing
from blockwright.report.sheet.make import sheet_pdf
from blockwright.report.sheet.work_part import CHOSEN, NONE_KEPT
from blockwright.report.work.told import work_told
from blockwright.running.assess import assess
from blockwright.running.work.result import Spread, Weight, Work

from .sheet_pages import ANY, alts, demo, plainly, text_of
from .test_pdf_standards import ARCHIVE, HEARD, found
from .work_sample import sample_work

WORK, PLAIN = sample_work(), sample_work(draws=False)


@pytest.fixture(scope="module")
def harbour() -> Assessment:
    return assess(demo("harbour"))


@pytest.fixture(scope="module")
def drawn(harbour: Assessment) -> bytes:
    return sheet_pdf(harbour, ANY, work=WORK)


def part(pdf: bytes) -> str:
    """The text of the part."""
    return text_of(pdf).partition("The engine at work")[2]


def test_it_stands_after_the_fits_and_before_the_bores(drawn: bytes) -> None:
    text = text_of(drawn)
    assert text.index("Every fit") < text.index("The engine at work") < text.index("Ring map")


def test_every_hot_fit_stands_on_the_paper_with_its_verdict(drawn: bytes, harbour: Assessment) -> None:
    text, start = part(drawn), 0
    rows = [(block, row) for block in work_told(harbour.job, WORK).fits for row in block.rows]
    assert len(rows) == len(WORK.fits)
    for block, row in rows:
        before, after = ("clearance", "film") if block.film else ("cold", "hot")
        line = plainly(f"{row.at} {before} {row.cold} {after} {row.value} {block.unit} {row.words}")
        at = text.find(line, start)
        assert at >= 0, line
        start = at


def test_bearings_rings_temperatures_and_inputs_stand_on_the_paper(drawn: bytes, harbour: Assessment) -> None:
    text, told = part(drawn), work_told(harbour.job, WORK)
    for films in told.films:
        for row in films.rows:
            assert plainly(f"{row.hot} {row.film} {row.peak} {row.loss} {row.flow} {row.temperature}") in text
    for pack in told.rings.rows:
        assert plainly(f"{pack.at} {pack.top} {pack.second} {pack.share} {pack.blow_by} {pack.under_top}") in text
    for each in told.temperatures:
        assert plainly(f"{each.place} {each.value}") in text
    for fact in told.inputs:
        assert plainly(f"{fact.words} {fact.value} {fact.origin}") in text
    for line in (*told.cycle, *told.loads):
        assert plainly(line.text) in text


def test_what_it_warns_of_and_what_was_never_validated_stand_on_the_paper(drawn: bytes, harbour: Assessment) -> None:
    text, told = part(drawn), work_told(harbour.job, WORK)
    for said in (
        told.headline,
        *told.missing,
        *told.cautions,
        *told.not_validated,
        *told.rings.looser,
        told.better[0].words,
    ):
        assert plainly(said) in text
    assert "No measured figure was found to hold these against" in text


def test_pictures_have_words(drawn: bytes, harbour: Assessment) -> None:
    """Each picture of the part has its description as alternative text."""
    more = len(alts(drawn)) - len(alts(sheet_pdf(harbour, ANY)))
    assert more == len(CHOSEN)
    assert all(alts(drawn))


@pytest.mark.parametrize("work", [WORK, PLAIN, sample_work(cylinders=12)], ids=["drawn", "plain", "twelve"])
@pytest.mark.parametrize("size", ["a4", "us-letter"])
def test_it_keeps_to_both_standards(harbour: Assessment, work: Work, size: str) -> None:
    pdf = sheet_pdf(harbour, ANY, size, work=work)
    assert found(pdf, ARCHIVE) == set()
    assert found(pdf, HEARD) == set()


def test_the_same_twice(harbour: Assessment, drawn: bytes) -> None:
    assert sheet_pdf(harbour, ANY, work=WORK) == drawn


def test_what_is_out_is_red_in_words(harbour: Assessment) -> None:
    bad = replace(WORK.fits[0], standing=str(Standing.NONCONFORMING), said="outside computed bound")
    assert "outside computed bound" in part(sheet_pdf(harbour, ANY, work=replace(WORK, fits=(bad, *WORK.fits[1:]))))


def test_long_words_of_a_result_stay_on_the_paper(harbour: Assessment) -> None:
    word = "Unbreakablysolidword" * 4
    fits = tuple(replace(fit, authority=f"computed: {word}", weights=(Weight(word, 0.9),)) for fit in WORK.fits)
    wide = replace(WORK, headline=word, duty=word, fits=fits, cautions=(word,), missing=(word,))
    text = re.sub(r"\s", "", part(sheet_pdf(harbour, ANY, work=wide)))
    assert text.count(word) >= 5


def test_a_result_of_which_little_was_worked_out_is_set(harbour: Assessment) -> None:
    bare = replace(
        WORK, fits=(), bearings=(), rings=(), gap_map=None, better=(), missing=("main film: not read",), facts=(), paths=(), nodes=(), cautions=(), not_validated=()
    )  # fmt: skip
    text = part(sheet_pdf(harbour, ANY, work=bare))
    assert "Main film: not read." in text
    assert "Rings at work" not in text
    odd = replace(WORK, cycle=replace(WORK.cycle, energy_left_over=0.0, friction_pa=Spread(0.0)))
    assert "0.00 bar" in part(sheet_pdf(harbour, ANY, work=odd))


def test_without_a_result_one_line_says_how_to_have_it(harbour: Assessment) -> None:
    text = part(sheet_pdf(harbour, ANY)).partition("Bores")[0]
    assert plainly(NONE_KEPT) in text
    assert len(text) < len(NONE_KEPT) + 400


def test_a_sheet_never_works_an_engine_out() -> None:
    """Neither the models nor their compiler are loaded by it."""
    asked = """
import sys
from importlib import resources
from pathlib import Path
from blockwright.jobfile.folder import read_folder
from blockwright.running.assess import assess
from blockwright.report.sheet.digests import Digests
from blockwright.report.sheet.make import sheet_pdf
sheet_pdf(assess(read_folder(Path(str(resources.files("blockwright.demos") / "harbour"))).job), Digests({}))
print([name for name in sys.modules if name.startswith(("blockwright.running.work.whole", "blockwright.running.work.bearings", "blockwright.report.pictures.at_work"))])
"""
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
