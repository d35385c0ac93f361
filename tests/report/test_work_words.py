"""The engine at work in words: each number as its record has it, each verdict as it was drawn, nothing that matters left out."""

import json
import re
from dataclasses import replace
from importlib import resources
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.engine.job import Job
from blockwright.engine.rules import Units
from blockwright.fits.assessment import Standing
from blockwright.jobfile.folder import read_folder
from blockwright.quantities import Kind
from blockwright.report.as_json import dumps, story_json
from blockwright.report.story import story_of
from blockwright.report.work.as_json import CURVES, work_json
from blockwright.report.work.films import film_stories, window_words
from blockwright.report.work.hot import hot_blocks, hot_stories, weights_words
from blockwright.report.work.inputs import fact_value
from blockwright.report.work.numbers import shop_of, spread
from blockwright.report.work.told import out_of, work_told
from blockwright.running.assess import assess
from blockwright.running.work.result import Fact, Spread, Weight, Window

from .work_sample import sample_work


def demo(name: str) -> Job:
    with resources.as_file(resources.files("blockwright.demos") / name) as folder:
        return read_folder(Path(folder)).job


JOB = demo("harbour")
INCH = replace(JOB, sheet=replace(JOB.sheet, rules=replace(JOB.sheet.rules, units=Units.INCH)))
WORK, PLAIN = sample_work(), sample_work(draws=False)
MM, THOU = shop_of(JOB), shop_of(INCH)


def numbers(text: str) -> list[float]:
    return [float(each) for each in re.findall(r"-?\d+(?:\.\d+)?", text)]


@given(st.floats(1e-6, 1e-2), st.floats(0.003, 0.6))
def test_a_spread_is_shown_to_its_own_digits(value: float, share: float) -> None:
    """The shown number is off by less than half of the standard deviation, and bears no digit that is smaller than a twentieth of it."""
    sd = value * share
    text = spread(Spread(value, sd, value - 1.96 * sd, value + 1.96 * sd), Kind.LENGTH, "um")
    shown, half = numbers(text)
    step = 10.0 ** -len(text.split(" ")[0].partition(".")[2])
    assert abs(shown * 1e-6 - value) <= 0.5e-6 * step * (1 + 1e-6)
    assert abs(half * 1e-6 - 1.96 * sd) <= 0.5e-6 * step * (1 + 1e-6)
    assert step * 1e-6 <= sd or step == 1.0 or step == 0.01


def test_without_draws_a_number_stands_alone_in_three_digits() -> None:
    assert spread(Spread(70.23e5), Kind.PRESSURE_STEP, "bar") == "70.2 bar"
    assert spread(Spread(7.0234e5), Kind.PRESSURE_STEP, "bar") == "7.02 bar"
    assert spread(Spread(0.0), Kind.PRESSURE_STEP, "bar") == "0.00 bar"


@pytest.mark.parametrize("work", [WORK, PLAIN], ids=["drawn", "plain"])
def test_every_hot_fit_is_told_once_with_its_verdict(work) -> None:
    told = [(row.fit, row.at, row.standing) for block in hot_blocks(JOB, work) for row in block.rows]
    assert sorted(told) == sorted((fit.fit, fit.position, fit.standing) for fit in work.fits)


def test_a_hot_fit_shows_cold_hot_and_limits_in_the_shops_unit() -> None:
    for job, units in (
        (JOB, {False: ("mm", 1e-3), True: ("um", 1e-6)}),
        (INCH, {False: ("thou", 25.4e-6), True: ("uin", 25.4e-9)}),
    ):
        for block in hot_blocks(job, WORK):
            unit, scale = units[block.film]
            assert block.unit == unit
            for row, fit in zip(block.rows, [each for each in WORK.fits if each.fit == block.rows[0].fit], strict=True):
                hot, half = numbers(row.value)
                assert hot * scale == pytest.approx(fit.hot.value, abs=fit.hot.sd)
                assert half * scale == pytest.approx(0.5 * (fit.hot.high - fit.hot.low), abs=fit.hot.sd)
                assert float(row.cold) * scale == pytest.approx(fit.cold.value, abs=2 * fit.cold.sd)
                assert numbers(row.limits)[0] * scale == pytest.approx(
                    fit.low or 0.0, abs=2e-6 if not block.film else 2e-8
                )


def test_the_pin_is_the_span_that_holds_95_percent() -> None:
    """Also where the span is lop-sided: its ends, and not the best value, are what the mark shows."""
    fit = replace(WORK.fits[0], hot=Spread(1e-4, 2e-5, 0.9e-4, 1.7e-4))
    (block,) = hot_blocks(JOB, replace(WORK, fits=(fit,)))
    mark = block.rows[0].mark
    assert (mark.value - mark.half, mark.value + mark.half) == pytest.approx((0.9e-4, 1.7e-4), rel=1e-12)


def test_chances_are_told_of_draws_alone() -> None:
    for work in (WORK, PLAIN):
        chances = [row.chances for block in hot_blocks(JOB, work) for row in block.rows]
        assert all(chances) is (work is WORK)
        assert any(chances) is (work is WORK)


def test_no_draw_is_not_called_no_chance() -> None:
    fit = replace(WORK.fits[0], below=0.0, inside=1.0, above=0.0)
    (block,) = hot_blocks(JOB, replace(WORK, fits=(fit,)))
    assert block.rows[0].chances == "no draw under the low limit, every draw inside"
    some = replace(fit, below=0.0005, inside=0.9995)
    (block,) = hot_blocks(JOB, replace(WORK, fits=(some,)))
    assert block.rows[0].chances == "under 0.1 % under the low limit, over 99.9 % inside"


def test_the_heaviest_inputs_are_named_first_and_the_light_ones_not() -> None:
    weights = (Weight("a", 0.2), Weight("b", 0.7), Weight("c", 0.01), Weight("d", 0.05), Weight("e", 0.04))
    assert weights_words(weights) == "b 70 %, a 20 %, d 5 %"
    assert weights_words(()) == ""


def test_everything_that_a_result_warns_of_is_said() -> None:
    told = work_told(JOB, WORK)
    said = " ".join((*told.missing, *told.cautions, *told.not_validated)).lower()
    for text in (*WORK.missing, *WORK.cautions, *WORK.not_validated, *(fit.validated for fit in WORK.fits)):
        assert text.lower().rstrip(".") in said
    assert len(told.not_validated) == len(set(told.not_validated)) == 2


def test_bearings_say_what_was_not_measured_and_what_is_no_measure() -> None:
    main, rods = work_told(JOB, WORK).films
    assert (main.name, rods.name) == ("main bearings", "rod bearings")
    assert main.unread == "main 3"
    assert not any("only ranks" in text for text in main.sayings)
    assert any("only ranks" in text and "cylinder 1 to 4" in text for text in rods.sayings)
    wild = replace(WORK, bearings=tuple(replace(each, settled=each.position != "main 2") for each in WORK.bearings))
    assert any("come to rest" in text and "main 2" in text for text in work_told(JOB, wild).films[0].sayings)


def test_a_film_under_the_roughness_is_marked() -> None:
    """At its best value, or at an end of its span."""
    base = WORK.bearings[0]
    for film, thin in (
        (Spread(0.5e-6, 0.01e-6, 0.48e-6, 0.52e-6), True),
        (Spread(1.0e-6, 0.2e-6, 0.6e-6, 1.4e-6), True),
        (Spread(1.0e-6, 0.05e-6, 0.9e-6, 1.1e-6), False),
        (Spread(1.0e-6), False),
    ):
        work = replace(WORK, bearings=(replace(base, film_m=film, roughness_m=0.8e-6),))
        assert work_told(JOB, work).films[0].rows[0].thin is thin


@pytest.mark.parametrize(
    ("window", "said"),
    [
        (Window(34e-6, 72e-6, 1.6e-6, 110.0, 150.0), "0.034 to 0.072 mm keeps the film over 1.60 um"),
        (Window(None, 72e-6, 1.6e-6, 110.0, 150.0), "up to 0.072 mm keeps"),
        (Window(34e-6, None, 1.6e-6, 110.0, 150.0), "from 0.034 mm up keeps"),
        (Window(None, None, 1.6e-6, 110.0, 150.0), "every clearance that was tried keeps"),
        (None, "no clearance that was tried keeps film and temperature within their bounds"),
    ],
)
def test_a_window_is_said_whichever_end_it_lacks(window: Window | None, said: str) -> None:
    assert window_words(window, MM).startswith(said)


def test_answers_about_the_second_ring_that_differ_say_where() -> None:
    assert work_told(JOB, WORK).rings.looser == (WORK.rings[0].looser,)
    other = replace(WORK, rings=(replace(WORK.rings[0], looser="no: it lifts."), *WORK.rings[1:]))
    first, rest = work_told(JOB, other).rings.looser
    assert first == "cylinder 1: No: it lifts."
    assert rest == f"cylinder 2 to 4: {WORK.rings[0].looser}"


def test_what_all_answers_end_in_is_said_once() -> None:
    tail = "Friction is assumed. So is the damping, 300 N s/m."
    rings = (
        replace(WORK.rings[0], looser=f"no: 0.1 mm is too much. {tail}"),
        replace(WORK.rings[1], looser=f"Yes. {tail}"),
    )
    assert work_told(JOB, replace(WORK, rings=rings)).rings.looser == (
        "cylinder 1: No: 0.1 mm is too much.", "cylinder 2: Yes.", tail,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("fact", "shop", "said"),
    [
        (Fact("p", "power", 112e3, 2e3, "W", "given"), MM, "112.0 kW (u 2.0)"),
        (Fact("t", "coolant", 90.0, 4.0, "°C", "given"), MM, "90 °C (u 4)"),
        (Fact("r", "roughness", 1.2e-6, 0.3e-6, "m", "assumed"), MM, "1.2 um (u 0.3)"),
        (Fact("r", "roughness", 1.2e-6, 0.0, "m", "assumed"), THOU, "47.2 uin"),
        (Fact("w", "width", 19e-3, 0.0, "m", "assumed"), MM, "19.0 mm"),
        (Fact("v", "viscosity", 8e-3, 0.0, "Pa s", "assumed"), MM, "8.00 mPa s"),
        (Fact("x", "odd", 3.14159, 0.5, "furlongs", "assumed"), MM, "3.142 furlongs (u 0.5)"),
        (Fact("c", "ratio", 10.5, 0.0, "", "given"), MM, "10.5"),
    ],
)  # fmt: skip
def test_an_input_is_told_in_a_unit_of_the_trade(fact: Fact, shop, said: str) -> None:
    assert fact_value(fact, shop) == said


def test_assumed_inputs_are_told_apart() -> None:
    told = work_told(JOB, WORK)
    assert [each.words for each in told.assumed] == [fact.words for fact in WORK.facts if fact.assumed]


def test_what_is_out_is_counted() -> None:
    assert out_of(WORK) == 0
    bad = replace(WORK, fits=(replace(WORK.fits[0], standing=str(Standing.NONCONFORMING)), *WORK.fits[1:]))
    assert out_of(bad) == 1


def test_the_json_is_whole_and_nothing_in_it_is_rounded() -> None:
    told = json.loads(dumps(work_json(WORK)))
    assert told["format"] == "blockwright work 1"
    assert told["cycle"]["peak_pa"]["value"] == WORK.cycle.peak_pa.value
    assert told["bearings"][0]["orbit"] == [list(each) for each in WORK.bearings[0].orbit]
    assert len(told["fits"]) == len(WORK.fits)
    endless = replace(WORK, cycle=replace(WORK.cycle, peak_at_deg=float("nan")))
    assert json.loads(dumps(work_json(endless)))["cycle"]["peak_at_deg"] is None


def test_a_story_has_its_part_at_work_and_only_its_own() -> None:
    for result in assess(JOB).results:
        story = story_of(JOB, result, work=WORK)
        here = (result.fit.name, str(result.position))
        hot = sum((fit.fit, fit.position) == here for fit in WORK.fits)
        bearings = sum((each.fit, each.position) == here for each in WORK.bearings)
        assert len(story.at_work) == hot + bearings
        told = story_json(result, story, WORK)["at_work"]
        assert (len(told["hot"]), len(told["bearings"])) == (hot, bearings)
        assert not any(name in each for each in told["bearings"] for name in CURVES)
        assert story_of(JOB, result).at_work == ()
        assert story_json(result, story_of(JOB, result))["at_work"] is None


def test_the_part_at_work_says_value_verdict_and_what_weighs() -> None:
    (told,) = hot_stories(JOB, WORK, "top end gap", "cylinder 2")
    fit = next(each for each in WORK.fits if (each.fit, each.position) == ("top end gap", "cylinder 2"))
    assert (told.words, told.standing) == (fit.said, fit.standing)
    lines = dict(told.lines)
    assert lines["weighs"].startswith("temperature of the top ring 61 %")
    assert "under the low limit" in lines["chances"]
    assert "over the high limit" not in lines["chances"]
    (film,) = film_stories(WORK, "main film", "main 3", MM)
    assert "was not measured" in dict(film.lines)["note"]
    assert "at its thinnest" in dict(film.lines)["film"]
    assert film_stories(WORK, "wall clearance", "cylinder 1", MM) == ()


def test_what_more_draws_would_still_move_is_said():
    """With a spread that is normal the standard error is 1/(1.96 sqrt(n)) of the half-span: 5 % where n is 100 and 1 % where it is 2000."""
    assert "some 1 % of that half" in work_told(JOB, WORK).spread_words

    def few(told: Spread) -> Spread:
        return replace(told, error=told.sd / 10.0)

    fits = tuple(replace(fit, hot=few(fit.hot)) for fit in WORK.fits)
    assert "some 5 % of that half" in work_told(JOB, replace(WORK, fits=fits)).spread_words
    assert "half" not in work_told(JOB, PLAIN).spread_words
