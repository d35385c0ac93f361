"""Limits and gauges' figures that no engine or gauge has are asked about, with what may have been meant."""

import pytest

JOB, GAUGES = "job.toml", "gauges.toml"
LIMIT = (
    '\n[[limit]]\nfit = "{fit}"\nat = "{at}"\nauthority = "builder"\nby = "Ann"\nwhy = "a test"\n{side} = "{value}"\n'
)


@pytest.mark.parametrize(("fit", "at", "side", "value", "meant"), [
    ("wall clearance", "cylinder 1", "low", "90 mm", "90 um (0.090 mm)"),
    ("main film", "main 1", "high", "60 mm", "60 um"),
    ("top end gap", "cylinder 1", "low", "20 in", "20 thou"),
    ("rod journal size", "throw 1", "low", "5.6990 mm", "5.6990 cm (56.990 mm)"),
    ("main journal size", "main 1", "low", "2.7551 mm", "2.7551 in"),
])  # fmt: skip
def test_a_limit_that_no_such_fit_has_is_asked_about(harbour, fit, at, side, value, meant) -> None:
    harbour.write(JOB, harbour.text(JOB) + LIMIT.format(fit=fit, at=at, side=side, value=value))
    found = harbour.only()
    assert found.code == "quantity-implausible"
    assert f"did you mean {meant}" in found.what
    assert found.place.field.endswith(side)


@pytest.mark.parametrize(("fit", "at", "side", "value"), [
    ("piston to deck", "cylinder 1", "low", "-0.2 mm"), ("bell-mouth", "cylinder 1", "low", "-0.01 mm"),
    ("pin end play", "cylinder 1", "low", "-0.02 mm"), ("top ring flush depth", "cylinder 1", "low", "-0.1 mm"),
    ("wall clearance", "cylinder 1", "low", "90 um"), ("second land stress", "cylinder 1", "high", "400 MPa"),
])  # fmt: skip
def test_limits_of_the_trade_are_not(harbour, fit, at, side, value) -> None:
    harbour.write(JOB, harbour.text(JOB) + LIMIT.format(fit=fit, at=at, side=side, value=value))
    harbour.read()


@pytest.mark.parametrize(("value", "meant"), [("2 mm", "2 um"), ("1.5 in", "1.5 um")])
def test_a_certificate_of_millimetres_is_asked_about(harbour, value, meant) -> None:
    text = harbour.text(GAUGES)
    old = next(line for line in text.splitlines() if line.startswith("certificate = "))
    harbour.write(GAUGES, text.replace(old, f'certificate = "{value}"', 1))
    found = harbour.only()
    assert found.what.startswith(f"a certificate of {value}: did you mean")
    assert meant in found.what
