"""An engine built in code, to be changed in one fact at a time."""

import math

import pytest

from blockwright.engine.layout import Case, Engine, Layout, Turning

FACTS = {
    "name": "test engine", "layout": Layout.INLINE, "cylinders": 4, "rotation": Turning.CLOCKWISE, "case": Case.CAPS,
    "housing_material": "grey iron", "bore_m": 0.086, "stroke_m": 0.080, "rod_length_m": 0.140,
}  # fmt: skip


def build(**facts):
    """The engine of `FACTS` with some of them changed; a V is one of 90° unless said otherwise."""
    if facts.get("layout") is Layout.V:
        facts = {"bank_angle_rad": math.pi / 2} | facts
    return Engine(**(FACTS | facts))


@pytest.fixture(scope="session")
def engine():
    """Builds an engine."""
    return build
