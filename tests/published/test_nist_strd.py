"""Certified standard deviations of univariate reference data.

Source: NIST, Statistical Reference Datasets (StRD), "Univariate Summary Statistics": Michelso (speed of light, after N. E. Dorsey, 1944;
100 values, lower difficulty), Mavro (transmittance, R. Mavrodineanu; 50 values, lower), NumAcc4 (1001 values, higher). Certified mean and
sample standard deviation (denominator n - 1) as printed there, 15 digits.

How the numbers were had: Michelso and Mavro were found in public reprints of the data files, several of which agree, and are checked here
by their certified means and lag-1 autocorrelations, which also prove their order. NumAcc4 is made by its rule: 10000000.2, then
10000000.1 and 10000000.3 by turns, 500 times.

Symbols: the sample is one group of repeats; s is the first of the pair that `pooled` gives, n - 1 the second.
Tolerance: log relative error, the number of digits that agree: -lg(|s - c| / c). Wanted: 13 for Mavro and Michelso, 8 for NumAcc4, whose
data in binary agree with the decimal ones to no more than 1e-8 of their spread (a one-pass sum of squares gets 0).
Skipped: PiDigits, Lottery, Lew (integers, nothing to add), NumAcc1 to 3 (easier forms of NumAcc4).
"""

import math

import numpy as np
import pytest

from blockwright.metrology.repeats import pooled

pytestmark = pytest.mark.published

MICHELSO = """
299.85 299.74 299.90 300.07 299.93 299.85 299.95 299.98 299.98 299.88 300.00 299.98 299.93 299.65 299.76 299.81 300.00 300.00 299.96 299.96
299.96 299.94 299.96 299.94 299.88 299.80 299.85 299.88 299.90 299.84 299.83 299.79 299.81 299.88 299.88 299.83 299.80 299.79 299.76 299.80
299.88 299.88 299.88 299.86 299.72 299.72 299.62 299.86 299.97 299.95 299.88 299.91 299.85 299.87 299.84 299.84 299.85 299.84 299.84 299.84
299.89 299.81 299.81 299.82 299.80 299.77 299.76 299.74 299.75 299.76 299.91 299.92 299.89 299.86 299.88 299.72 299.84 299.85 299.85 299.78
299.89 299.84 299.78 299.81 299.76 299.81 299.79 299.81 299.82 299.85 299.87 299.87 299.81 299.74 299.81 299.94 299.95 299.80 299.81 299.87
"""
MAVRO = """
2.00180 2.00170 2.00180 2.00190 2.00180 2.00170 2.00150 2.00140 2.00150 2.00150 2.00170 2.00180 2.00180 2.00190 2.00190 2.00210 2.00200
2.00160 2.00140 2.00130 2.00130 2.00150 2.00150 2.00160 2.00150 2.00140 2.00130 2.00140 2.00150 2.00140 2.00150 2.00160 2.00150 2.00160
2.00190 2.00200 2.00200 2.00210 2.00220 2.00230 2.00240 2.00250 2.00270 2.00260 2.00260 2.00260 2.00270 2.00260 2.00250 2.00240
"""
DATA = {
    "Michelso": [float(cell) for cell in MICHELSO.split()],
    "Mavro": [float(cell) for cell in MAVRO.split()],
    "NumAcc4": [10000000.2] + [10000000.1, 10000000.3] * 500,
}
# name: (n, certified mean, certified standard deviation, lag-1 autocorrelation, digits wanted of s)
CERTIFIED = {
    "Michelso": (100, 299.852400000000, 0.0790105478190518, 0.535199668621283, 13),
    "Mavro": (50, 2.00185600000000, 0.000429123454003053, 0.937989183438248, 13),
    "NumAcc4": (1001, 10000000.2, 0.1, -0.999, 8),
}


def digits_that_agree(found, certified):
    return math.inf if found == certified else -math.log10(abs(found - certified) / abs(certified))


@pytest.mark.parametrize("name", CERTIFIED)
def test_the_data_are_those_certified(name):
    """The mean, and the autocorrelation that no other order of the same values has."""
    n, mean, _, autocorrelation, _ = CERTIFIED[name]
    values = DATA[name]
    assert len(values) == n
    assert digits_that_agree(math.fsum(values) / n, mean) > 14
    residuals = np.array(values) - mean
    assert float(residuals[1:] @ residuals[:-1] / (residuals @ residuals)) == pytest.approx(autocorrelation, rel=1e-7)


@pytest.mark.parametrize("name", CERTIFIED)
def test_standard_deviation(name):
    n, _, certified, _, digits = CERTIFIED[name]
    s, dof = pooled([DATA[name]])
    assert dof == n - 1
    assert digits_that_agree(s, certified) >= digits, f"NIST StRD, {name}: {s} for {certified}"


def test_one_pass_formula_would_fail_the_hard_one():
    """The test can fail: sum of squares less n mean^2 loses every digit of NumAcc4."""
    values = np.array(DATA["NumAcc4"])
    square = float((values @ values - len(values) * values.mean() ** 2) / (len(values) - 1))
    assert digits_that_agree(math.sqrt(max(square, 0.0)), 0.1) < 2
