"""Limits of size by a tolerance class of ISO 286 (figures of `tests/published/test_iso_286.py`)."""

import pytest

from blockwright.engine.rules import Authority, LimitRule
from blockwright.fits.limits import offer_from


def test_a_class_gives_both_limits_about_the_nominal():
    """H7 over 18 mm up to 30 mm: 0 to +21 µm (ISO 286-2)."""
    rule = LimitRule(fit="small-end size", authority=Authority.MAKER, source="sheet", tolerance_class="H7")
    offer = offer_from(rule, 22e-3)
    assert (offer.low, offer.high) == (pytest.approx(22e-3, rel=1e-12), pytest.approx(22.021e-3, rel=1e-12))
    assert offer.source == "sheet (H7, ISO 286)"


def test_without_a_nominal_size_it_says_nothing():
    rule = LimitRule(fit="small-end size", authority=Authority.MAKER, tolerance_class="H7")
    offer = offer_from(rule, None)
    assert (offer.low, offer.high) == (None, None)
