"""Calibration of an end gauge of 50 mm.

Source: JCGM 100:2008, "Evaluation of measurement data - Guide to the expression of uncertainty in measurement", annex H.1, with its Table
H.1. The numbers were typed; the last digits beyond those printed (31.66, 16.75, 92.5) were worked out independently from them.

Model: l = ls + d - ls (d_alpha (theta_mean + Delta) + alpha_s d_theta), lengths in nm, temperatures in °C, coefficients in 1/°C.

| H.1 | here | H.1 | here |
| --- | --- | --- | --- |
| u(xi) | standard uncertainty of an input | |ci| u(xi) | Share.u |
| nu_i | Share.dof | u_c(l) | Estimate.u |
| nu_eff | Estimate.dof | U99 | expanded(..., 0.99) |

Each input is an Estimate with one Source; sensitivities are the partial derivatives of the model at the estimates. Half-widths are made
standard uncertainties here: rectangular / sqrt(3), arcsine / sqrt(2).

Tolerances: half a unit of the last printed digit. Printed are rounded products of rounded figures: u_c 32 (31.66), U99 93 = 2.92 x 32
(92.5). The annex cuts nu_eff to 16; `expanded` interpolates t, which G.4.1, note 1, allows as well, so it is asked with 16.
Skipped: H.1.7, the second-order terms (11.7 nm in 34): first-order propagation is all that this program does, and says.
"""

import math

import pytest
from GTC import dof as gtc_dof
from GTC import uncertainty as gtc_uncertainty
from GTC import ureal
from GTC import value as gtc_value
from scipy.special import stdtrit

from blockwright.metrology.estimate import Cause, Estimate, Share, Source, combine, exact
from blockwright.metrology.verdict import expanded

pytestmark = pytest.mark.published

LS_NM, D_NM = 50_000_623.0, 215.0
ALPHA_S, D_ALPHA, THETA, D_THETA = 11.5e-6, 0.0, -0.1, 0.0
RECTANGULAR, ARCSINE = 1.0 / math.sqrt(3.0), 1.0 / math.sqrt(2.0)

# name: (standard uncertainty, degrees of freedom, sensitivity)
INPUTS = {
    "standard": (25.0, 18, 1.0),
    "d: repeated readings": (5.8, 24, 1.0),
    "d: random effects of the comparator": (3.9, 5, 1.0),
    "d: systematic effects of the comparator": (6.7, 8, 1.0),
    "alpha_s": (2e-6 * RECTANGULAR, math.inf, -LS_NM * D_THETA),
    "theta: mean": (0.2, math.inf, -LS_NM * D_ALPHA),
    "theta: cycle": (0.5 * ARCSINE, math.inf, -LS_NM * D_ALPHA),
    "d_alpha": (1e-6 * RECTANGULAR, 50, -LS_NM * THETA),
    "d_theta": (0.05 * RECTANGULAR, 2, -LS_NM * ALPHA_S),
}
# Table H.1, column |ci| u(xi) in nm, as printed
PRINTED_NM = {
    "standard": "25",
    "alpha_s": "0",
    "theta: mean": "0",
    "theta: cycle": "0",
    "d_alpha": "2.9",
    "d_theta": "16.6",
}


def part(name, value=0.0):
    """An input as it reaches the length: its share is sensitivity x standard uncertainty."""
    u, dof, sensitivity = INPUTS[name]
    return combine([(sensitivity, Estimate(value, {Source(Cause.MODEL, name): Share(u, dof)}))])


def difference():
    return combine([(1.0, exact(D_NM)), *((1.0, part(name)) for name in INPUTS if name.startswith("d:"))])


def length():
    thermal = -LS_NM * (D_ALPHA * THETA + ALPHA_S * D_THETA)
    others = [part(name) for name in INPUTS if name != "standard" and not name.startswith("d:")]
    return combine([(1.0, part("standard", LS_NM)), (1.0, difference()), *((1.0, other) for other in others)]).moved(
        thermal
    )


def as_printed(text):
    """Half a unit of the last digit."""
    return pytest.approx(float(text), abs=0.5 * 10.0 ** -len(text.partition(".")[2]))


@pytest.mark.parametrize(
    ("made_from", "printed"),
    [(13.0 / math.sqrt(5), "5.8"), (10.0 / stdtrit(5, 0.975), "3.9"), (20.0 / 3.0, "6.7"), (75.0 / 3.0, "25")],
    ids=["H.1.3.2 readings", "H.1.3.2 random", "H.1.3.2 systematic", "H.1.3.1 standard"],
)
def test_standard_uncertainties_of_the_inputs(made_from, printed):
    assert made_from == as_printed(printed)


def test_converted_half_widths():
    """H.1.3.3 to H.1.3.6: 1.2e-6, 0.41 (of 0.2 and 0.35), 0.58e-6, 0.029."""
    assert 1e6 * INPUTS["alpha_s"][0] == as_printed("1.2")
    assert INPUTS["theta: cycle"][0] == as_printed("0.35")
    assert math.hypot(INPUTS["theta: mean"][0], INPUTS["theta: cycle"][0]) == as_printed("0.41")
    assert 1e6 * INPUTS["d_alpha"][0] == as_printed("0.58")
    assert INPUTS["d_theta"][0] == as_printed("0.029")


def test_value():
    assert length().value == as_printed("50000838")


@pytest.mark.parametrize("name", PRINTED_NM)
def test_component(name):
    share = part(name).shares[Source(Cause.MODEL, name)]
    assert abs(share.u) == as_printed(PRINTED_NM[name]), f"JCGM 100, Table H.1, {name}"


def test_difference_of_the_comparator():
    """H.1.3.2: u(d) = 9.7 nm; H.1.6: its degrees of freedom 25.6, which rest on the rounded 9.7 (25.45 on 9.68)."""
    assert difference().u == as_printed("9.7")
    assert (9.7 / difference().u) ** 4 * difference().dof == as_printed("25.6")


def test_combined_uncertainty():
    assert length().u == as_printed("32")
    assert length().u == as_printed("31.66")


def test_effective_degrees_of_freedom():
    """Printed 16.7 of components rounded to 0.1 nm; 16.75 of these."""
    assert length().dof == as_printed("16.75")
    assert math.floor(length().dof) == 16


def test_expanded_uncertainty():
    cut = Estimate(length().value, {Source(Cause.MODEL, "all of H.1"): Share(length().u, 16)})
    assert expanded(cut, 0.99) / cut.u == as_printed("2.921")
    assert expanded(cut, 0.99) == as_printed("92.5")
    assert round(expanded(cut, 0.99) / cut.u, 2) * round(cut.u) == as_printed("93")
    assert stdtrit(17, 0.995) * cut.u < expanded(length(), 0.99) < expanded(cut, 0.99)


def test_budget_is_led_by_standard_then_temperature_difference():
    assert [source.owner for source, _ in length().budget][:2] == ["standard", "d_theta"]
    assert len(length().budget) == 6


def test_a_second_route_agrees():
    """The same inputs through the GUM Tree Calculator, which differentiates the model itself."""
    ls, d = (
        ureal(LS_NM, 25.0, 18),
        sum((ureal(0.0, u, dof) for name, (u, dof, _) in INPUTS.items() if name.startswith("d:")), start=D_NM),
    )
    alpha_s, d_alpha, d_theta = (
        ureal(estimate, *INPUTS[name][:2])
        for name, estimate in (("alpha_s", ALPHA_S), ("d_alpha", D_ALPHA), ("d_theta", D_THETA))
    )
    theta = ureal(THETA, INPUTS["theta: mean"][0]) + ureal(0.0, INPUTS["theta: cycle"][0])
    result = ls + d - ls * (d_alpha * theta + alpha_s * d_theta)
    assert length().value == pytest.approx(gtc_value(result), rel=1e-14)
    assert length().u == pytest.approx(gtc_uncertainty(result), rel=1e-12)
    assert length().dof == pytest.approx(gtc_dof(result), rel=1e-12)
