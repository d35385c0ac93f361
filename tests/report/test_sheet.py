"""The build sheet's words: whatever the assessment says stands on the paper, and nothing is lost or rounded into another verdict."""

import datetime as dt
import re
from dataclasses import replace
from pathlib import Path

import grimp
import pytest

import blockwright
from blockwright.choices.route.progress import sign, with_signing
from blockwright.choices.route.step import Proof
from blockwright.choices.route.whole import route_progress
from blockwright.engine.fasteners import Fastener, Joint
from blockwright.engine.positions import Place
from blockwright.engine.steps import Given
from blockwright.fits.assessment import Standing
from blockwright.report.rows import Block, blocks, limits_text
from blockwright.report.sheet import words
from blockwright.report.sheet.make import sheet_pdf
from blockwright.running.assess import assess

from .sheet_pages import ANY, JOBS, alts, demo, empty, job_of, pages_of, pdf_of, plainly, text_of

DEMOS = ("harbour", "hillclimb")
HEAVY = pytest.mark.slow
KINDS = [pytest.param(kind, marks=[] if kind in (*DEMOS, "empty", "unread") else HEAVY) for kind in JOBS]
NUMBER = r"-?\d+(?:\.\d+)?"


def part_of_fits(text: str) -> str:
    """The text from the head of the fits on."""
    return text.partition("Every fit")[2]


def said(block: Block) -> list[str]:
    """Each fit of a block as the paper must show it."""
    return [
        f"{row.at} {row.value} {row.unit} {row.result.words}" if row.result.found else f"{row.at} open"
        for row in block.rows
    ]


@pytest.mark.parametrize("kind", KINDS)
def test_every_fit_stands_on_the_paper(kind: str) -> None:
    """Position, value, uncertainty, unit and verdict of each, in one row and in the order of the assessment."""
    text, start = part_of_fits(text_of(pdf_of(kind))), 0
    wanted = [plainly(line) for block in blocks(assess(job_of(kind))) for line in (block.fit.name, *said(block))]
    for line in wanted:
        found = text.find(line, start)
        assert found >= 0, f"{line!r} is not found after {text[max(0, start - 120) : start]!r}"
        start = found + len(line)


@pytest.mark.parametrize("kind", DEMOS)
def test_limits_stand_on_the_paper(kind: str) -> None:
    text = part_of_fits(text_of(pdf_of(kind)))
    listed = [block for block in blocks(assess(job_of(kind))) if block.limits]
    assert len(listed) > 10
    for block in listed:
        if block.limits == "limits by position":
            assert f"{block.fit.name} {block.limits}" in text
            continue
        assert f"{block.fit.name} {block.limits}" in text
        for bound in (block.rows[0].result.limits.low, block.rows[0].result.limits.high):
            assert bound is None or str(bound.authority) in text.partition(f"{block.fit.name} {block.limits}")[2][:400]


def test_limits_that_differ_stand_with_their_positions() -> None:
    job = demo("harbour")
    own = replace(
        next(rule for rule in job.sheet.limit if rule.fit == "wall clearance"), at="cylinder 2", low_si=131e-6, aim_si=None, high_si=142e-6, entered={}
    )  # fmt: skip
    assessment = assess(replace(job, sheet=replace(job.sheet, limit=(own, *job.sheet.limit))))
    text = part_of_fits(text_of(sheet_pdf(assessment, ANY)))
    block = next(block for block in blocks(assessment) if block.fit.name == "wall clearance")
    assert block.limits == "limits by position"
    assert "wall clearance limits by position" in text
    assert "0.131 to 0.142 mm" in text
    assert "0.112 to 0.141 mm" in text


@pytest.mark.parametrize("kind", DEMOS)
def test_shown_numbers_tell_the_shown_verdict(kind: str) -> None:
    """Read from the paper alone: value and limits of each row, and whether they agree with the verdict in words."""
    text, judged = part_of_fits(text_of(pdf_of(kind))), 0
    for block in blocks(assess(job_of(kind))):
        if not block.limits:
            continue
        here = text.partition(f"{block.fit.name} {block.limits}")[2]
        between = re.match(rf"({NUMBER}) to ({NUMBER})", block.limits)
        most, least = re.match(rf"up to ({NUMBER})", block.limits), re.match(rf"at least ({NUMBER})", block.limits)
        low = float(between[1]) if between else float(least[1]) if least else float("-inf")
        high = float(between[2]) if between else float(most[1]) if most else float("inf")
        for row in block.rows:
            pattern = rf"\b{re.escape(row.at)} ({NUMBER}) ± ({NUMBER}) {re.escape(row.unit)} (nonconforming|outside|out|conforms|inside|undecided)"
            if row.result.found:
                found = re.search(pattern, here)
                assert found is not None, pattern
                value, verdict, judged = float(found[1]), found[3], judged + 1
                if verdict in ("conforms", "inside"):
                    assert low <= value <= high
                elif verdict != "undecided":
                    assert value < low or value > high
    assert judged > 80


@pytest.mark.parametrize("kind", DEMOS)
def test_what_is_out_comes_first_with_its_mend(kind: str) -> None:
    text = text_of(pdf_of(kind)).partition("What goes where")[0]
    out = assess(job_of(kind)).out
    assert out
    for result in out:
        assert plainly(result.remedy) in text
    assert f"{len(out)} fit{'s are' if len(out) > 1 else ' is'} out" in text


def test_what_cannot_be_told_says_how_to_settle_it() -> None:
    text = text_of(pdf_of("harbour"))
    assert text.count("to settle it:") == sum(
        r.standing is Standing.UNDECIDED for r in assess(job_of("harbour")).results
    )
    assert "Work it to its aim, or sign a judgement." in text


@pytest.mark.parametrize("kind", DEMOS)
def test_parts_seats_gauges_and_settings(kind: str) -> None:
    job, text = job_of(kind), text_of(pdf_of(kind))
    for place in job.engine.positions(Place.CYLINDER):
        held = job.in_cylinder(place.number)
        assert f"{place.number} {held.piston} {held.pin} {held.rings} {held.rod} {', '.join(held.shells)}" in text
    for part in job.sheet.part:
        assert {part.mark, *filter(None, (part.maker, part.batch, part.alloy))} <= set(
            text.replace(",", " ").split()
        ) or all(word in text for word in (part.mark, part.maker, part.batch, part.alloy))
    for gauge in job.gauge_sheet.gauge:
        assert f"{gauge.id} {gauge.name}" in text
        assert gauge.due is None or str(gauge.due) in text
        assert gauge.certificate_si is None or f"U = {gauge.entered['certificate'].raw}" in text
    for setting in job.gauge_sheet.setting:
        assert f"{setting.id} {setting.gauge} {setting.entered['size'].raw} {setting.master}" in text


def test_signatures_work_ordered_and_what_was_noticed() -> None:
    assessment, text = assess(job_of("harbour")), text_of(pdf_of("harbour"))
    for record in assessment.job.records:
        for word in (record.event, f"{record.fit}, {record.at}", record.by, str(record.when), record.why):
            assert word in text
    assert "97.2805 mm at bottom axial: not as ordered" in text
    assert assessment.flags
    for flag in assessment.flags:
        assert plainly(flag.text[1:]) in text
        assert plainly(flag.mend) in text


def test_rule_cautions_and_what_was_not_validated() -> None:
    text = text_of(pdf_of("harbour"))
    assert "95 % sure" in text
    for line in (*words.CAUTIONS, *words.NOT_THIS, *(what for _, what in words.NOT_VALIDATED)):
        assert plainly(line) in text


def test_rings_say_what_was_filed_and_where_gaps_go() -> None:
    text = text_of(pdf_of("harbour"))
    assert "4 P4, R4 top 0.638 ± 0.016 mm 8 turns in 2 passes conforms" in text
    assert "Where the gaps go: cylinders 1, 2, 3, 4" in text


@pytest.mark.parametrize(("kind", "said"), [("harbour", True), ("unread", False)])
def test_invented_data_are_called_so_on_every_page(kind: str, said: bool) -> None:
    assert [("INVENTED" in page) for page in pages_of(pdf_of(kind))] == [said] * len(pages_of(pdf_of(kind)))


def test_an_empty_job_makes_a_sheet_that_says_so() -> None:
    text = text_of(sheet_pdf(assess(empty()), ANY))
    assert "0 readings" in text
    assert "conforms" not in text.partition("This sheet and its data")[0].replace("it conforms", "")


def test_limits_text_is_what_the_table_of_the_terminal_shows() -> None:
    """The sheet's limits are those of the one function that the terminal uses."""
    block = blocks(assess(job_of("hillclimb")))[0]
    assert block.limits == limits_text(block.rows[0].result.limits, block.fit, block.unit, 8e-6)


def test_modules_called_not_validated_say_so_themselves() -> None:
    """The list on the sheet holds each module that says so and on which a number of the sheet rests, and no other."""
    root = Path(blockwright.__file__).parent
    saying = {
        "blockwright." + ".".join(path.relative_to(root).with_suffix("").parts)
        for floor in ("physics", "running", "choices", "metrology", "fits")
        for path in (root / floor).rglob("*.py")
        if "not validated" in path.read_text(encoding="utf-8").lower()
    }
    graph = grimp.build_graph("blockwright")
    beneath = graph.find_upstream_modules("blockwright.report.sheet.make") | graph.find_upstream_modules(
        "blockwright.running.assess"
    )
    assert saying & beneath == {module for module, _ in words.NOT_VALIDATED}


@pytest.mark.parametrize("kind", DEMOS)
def test_every_step_of_the_route_stands_on_the_paper(kind: str) -> None:
    """In the order of the route, with what a hold point asks for."""
    route = text_of(pdf_of(kind)).partition("The route, and who signed")[2].replace("- ", "-")
    start = 0
    steps = route_progress(job_of(kind)).states
    assert len(steps) > 50
    for state in steps.values():
        found = route.find(plainly(state.step.name).replace("- ", "-"), start)
        assert found >= 0, state.step.name
        start = found + len(plainly(state.step.name).replace("- ", "-"))
        for asked in state.step.evidence:
            assert asked.what in route[start : start + 900]


def test_a_signature_stands_beside_its_step() -> None:
    job = demo("hillclimb")
    when = dt.datetime(2026, 9, 20, 15, 30, tzinfo=dt.UTC)
    steps = route_progress(job).states
    first, second = list(steps)[:2]
    counted = Given(counts=tuple(each.number or 9 for each in steps[first].step.evidence if each.proof is Proof.COUNT))
    signed = with_signing(job, sign(route_progress(job), first, counted, by="T. Alder", when=when))
    route = text_of(sheet_pdf(assess(signed), ANY)).partition("The route, and who signed")[2]
    assert "T. Alder 2026-09-20 15:30 counted 52" in route.partition(steps[second].step.name)[0]
    assert re.search(r"\b1 of \d+ steps signed", route)


def test_fasteners_stand_as_the_maker_gave_them() -> None:
    job = demo("harbour")
    told = Fastener(joint=Joint.HEADS, count=10, stages=("40 Nm", "80 Nm"), lubricant="engine oil", source="sheet 7")
    text = text_of(sheet_pdf(assess(replace(job, sheet=replace(job.sheet, fastener=(told,)))), ANY))
    assert "Fasteners" in text
    assert "40 Nm; then 80 Nm (sheet 7)" in text
    assert "generated, centre out" in text
    assert "Fasteners" not in text_of(pdf_of("empty"))


def test_orders_of_tightening_are_drawn_beside_the_fasteners() -> None:
    """The maker's as his, one that nobody gave as generated; bolts of a flywheel on their circle; none for a joint without an order."""
    job = demo("harbour")
    told = (
        Fastener(joint=Joint.HEADS, count=4, pattern=(3, 2, 4, 1), stages=("40 Nm",), source="sheet 7"),
        Fastener(joint=Joint.SUMP, count=20),
        Fastener(joint=Joint.FLYWHEEL, count=6, pattern=(1, 4, 2, 5, 3, 6)),
        Fastener(joint=Joint.RODS, count=2),
    )
    assessment = assess(replace(job, sheet=replace(job.sheet, fastener=told)))
    said = alts(sheet_pdf(assessment, ANY))
    assert sum("Maker's pattern: sheet 7 Bolts counted from the front" in each for each in said) == 1
    assert sum("Generated: no maker's pattern is given" in each for each in said) == 1
    assert sum("Maker's pattern Bolts counted clockwise from the top" in each for each in said) == 1
    assert sum("are tightened in this order" in each for each in said) == 3


@pytest.mark.parametrize("kind", [*DEMOS, "empty"])
def test_the_route_is_drawn_before_it_is_listed(kind: str) -> None:
    pages, said = pages_of(pdf_of(kind)), alts(pdf_of(kind))
    drawn = next(number for number, page in enumerate(pages) if "The route, drawn" in page)
    listed = next(number for number, page in enumerate(pages) if "The route, and who signed" in page)
    panels = [each for each in said if re.match(r"\d+ of \d+ steps done\. ", each)]
    assert len(panels) == listed - drawn + ("Route of assembly" in pages[listed]) > 1
    states = route_progress(job_of(kind)).states.values()
    single = [state.step.name for state in states if not re.search(r"\d", state.step.key)]
    assert all(any(f"{plainly(name)} (" in plainly(panel) for panel in panels) for name in single)
