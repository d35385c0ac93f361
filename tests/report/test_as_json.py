"""An assessment as JSON: whole, unrounded, finite, and steady in shape."""

import json
import math
from dataclasses import replace
from importlib import resources
from pathlib import Path

import pytest

from blockwright import __version__
from blockwright.choices.next_steps import next_steps
from blockwright.engine.job import Job
from blockwright.engine.positions import cylinder
from blockwright.fits.assessment import FitResult, Standing
from blockwright.fits.limits import Limits
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.folder import read_folder
from blockwright.metrology.verdict import expanded
from blockwright.quantities import Kind
from blockwright.report.as_json import FORMAT, UNIT, assessment_json, dumps, result_json, story_json
from blockwright.report.story import story_of
from blockwright.running.assess import assess


def demo(name: str) -> Job:
    with resources.as_file(resources.files("blockwright.demos") / name) as folder:
        return read_folder(Path(folder)).job


HARBOUR = assess(demo("harbour"))
FIELDS = {
    "fit", "at", "standing", "words", "unit", "value", "standard_uncertainty", "degrees_of_freedom", "expanded_uncertainty_95", "low",
    "aim", "high", "chances", "governs", "readings", "missing", "remedy", "notes", "signed",
}  # fmt: skip
"""What a program that reads this may count on. Taking one away breaks it: then FORMAT gets another number."""


@pytest.fixture(scope="module")
def whole() -> dict:
    return json.loads(dumps(assessment_json(HARBOUR, next_steps(HARBOUR))))


def test_the_head_says_what_it_is(whole: dict) -> None:
    assert (whole["format"], whole["program"]) == (FORMAT, f"blockwright {__version__}")
    assert (whole["job"], whole["engine"], whole["invented"]) == (HARBOUR.job.sheet.job, HARBOUR.job.engine.name, True)
    assert whole["rule"] == {"level": HARBOUR.job.rules.level, "acceptance": str(HARBOUR.job.rules.acceptance)}


def test_every_fit_has_every_field(whole: dict) -> None:
    assert FORMAT.endswith(" 1")
    assert len(whole["fits"]) == len(HARBOUR.results)
    assert all(set(each) == FIELDS for each in whole["fits"])


def test_numbers_come_back_to_the_last_bit(whole: dict) -> None:
    for each, result in zip(whole["fits"], HARBOUR.results, strict=True):
        bounds = (result.limits.low_value, result.limits.aim, result.limits.high_value)
        assert (each["low"] and each["low"]["value"], each["aim"], each["high"] and each["high"]["value"]) == bounds
        if result.found:
            assert (each["value"], each["standard_uncertainty"]) == (result.estimate.value, result.estimate.u)
            assert each["expanded_uncertainty_95"] == expanded(result.estimate)


def test_chances_add_up_to_one(whole: dict) -> None:
    told = [each["chances"] for each in whole["fits"] if each["chances"]]
    assert told
    assert all(sum(chance.values()) == pytest.approx(1.0, abs=1e-9) for chance in told)


def test_an_open_fit_has_nulls_and_says_what_is_missing(whole: dict) -> None:
    still = [each for each in whole["fits"] if each["standing"] == "open"]
    assert still
    for each in still:
        assert (each["value"], each["standard_uncertainty"], each["chances"], each["readings"]) == (
            None,
            None,
            None,
            [],
        )
        assert each["missing"]


def test_readings_are_rows_of_the_job(whole: dict) -> None:
    taken = (*HARBOUR.job.readings, *(each.reading for each in HARBOUR.job.passes))
    known = {reading.id for reading in taken}
    assert {row for each in whole["fits"] for row in each["readings"]} <= known
    assert all(each["readings"] for each in whole["fits"] if each["value"] is not None)


def test_orders_and_steps_and_what_was_noticed_are_there(whole: dict) -> None:
    assert [each["standing"] for each in whole["orders"]] == [str(order.standing) for order in HARBOUR.orders]
    assert [each["code"] for each in whole["noticed"]] == [flag.code for flag in HARBOUR.flags]
    assert [(each["what"], each["how"], each["why"]) for each in whole["next"]] == [
        (step.what, step.how, step.rank.name.lower()) for step in next_steps(HARBOUR)
    ]


def test_endless_degrees_of_freedom_are_null() -> None:
    for result in HARBOUR.results:
        told = result_json(result)["degrees_of_freedom"]
        if result.found:
            assert told == (result.estimate.dof if math.isfinite(result.estimate.dof) else None)


def test_a_number_that_is_not_finite_is_refused() -> None:
    for wrong in (math.nan, math.inf, -math.inf):
        with pytest.raises(ValueError, match="not JSON compliant"):
            dumps({"value": wrong})


def test_plain_letters_lose_nothing() -> None:
    value = {"name": "Größe ±"}
    assert dumps(value, ascii=True).isascii()
    assert json.loads(dumps(value, ascii=True)) == json.loads(dumps(value)) == value
    assert "ö" in dumps(value)


def test_every_kind_that_a_fit_has_has_a_unit() -> None:
    assert {fit.kind for fit in REGISTRY.values()} <= set(UNIT)
    assert (UNIT[Kind.LENGTH], UNIT[Kind.TORQUE]) == ("m", "N m")


def test_a_story_adds_budget_sources_and_formula() -> None:
    for result in HARBOUR.results:
        told = json.loads(dumps(story_json(result, story_of(HARBOUR.job, result))))
        assert set(told) == FIELDS | {"formula", "formulas", "budget", "sources", "settle", "at_work"}
        squares = sum(line["u"] ** 2 for line in told["budget"])
        assert squares == pytest.approx(result.estimate.u**2 if result.found else 0.0, rel=1e-9)
        assert {offer["decides"] for offer in told["sources"]} <= {True, False}


def test_a_fit_without_limits_has_nulls() -> None:
    bare = FitResult(REGISTRY["wall clearance"], cylinder(1), Limits(), Standing.OPEN, missing=("skirt of P1",))
    told = result_json(bare)
    assert (told["low"], told["aim"], told["high"], told["signed"]) == (None, None, None, None)
    assert result_json(replace(bare, notes=("so",)))["notes"] == ["so"]
