"""Amounts as the builder reads them: what is something is never written as nothing, in a remedy least of all."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.engine.rules import Units
from blockwright.fits.words import PLAIN_U_SI, UNIT, Scale, say
from blockwright.quantities import Kind, parse

UM = 1e-6


@pytest.mark.parametrize(("value", "text"), [
    (0.0, "0.000 mm"), (1e-16, "0.000 mm"), (20 * UM, "0.020 mm"), (0.6 * UM, "0.001 mm"), (0.4 * UM, "0.0004 mm"), (0.04 * UM, "0.00004 mm"),
    (0.004 * UM, "less than 0.00001 mm"), (-0.4 * UM, "-0.0004 mm"),
])  # fmt: skip
def test_an_amount_is_shown_as_finely_as_it_takes(bench, value, text):
    assert say(bench.job(), value, Scale.CLEARANCE) == text


def test_with_an_uncertainty_the_digits_are_those_it_allows(bench):
    assert say(bench.job(), 0.4 * UM, Scale.CLEARANCE, u=5 * UM) == "0.000 mm"


@given(units=st.sampled_from(Units), scale=st.sampled_from(Scale), times=st.floats(1e-5, 10.0))
def test_what_is_something_is_never_shown_as_nothing(new_bench, units, scale, times):
    bench = new_bench()
    bench.rules["units"] = units
    text = say(bench.job(), times * PLAIN_U_SI[scale], scale)
    assert re.search("[1-9]", text), text
    assert text.endswith(f" {UNIT[(units, scale)]}")


@pytest.mark.parametrize("fit", ["wall clearance", "top end gap"])
@pytest.mark.parametrize("short_um", [0.04, 0.4, 4.0, 40.0])
def test_a_remedy_names_the_amount_that_is_lacking(bench, fit, short_um):
    """Under its low limit, which is the aim too, by so much: the remedy takes exactly that, to the digits it shows."""
    bench.bore(1).read("P1", "skirt", state="bare", mm=86.0 - 0.1).read(
        "R1", "top gap", "cylinder 1", "plate on", mm=0.1
    )
    bench.limit(fit, low=0.1 + short_um * 1e-3, aim=0.1 + short_um * 1e-3, high=9.0)
    result = bench.judge(fit, "cylinder 1")
    [amount] = re.findall(r"by (\S+ mm)(?: on| to)", result.remedy)
    digits = len(amount.split()[0].partition(".")[2])
    assert parse(amount, Kind.LENGTH).si == pytest.approx(short_um * UM, abs=0.51 * 10.0 ** (-3 - digits))
    assert parse(amount, Kind.LENGTH).si > 0.0
