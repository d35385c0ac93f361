"""Work ordered from the machine shop against what came back."""

import pytest

from blockwright.fits.assessment import Standing
from blockwright.metrology.verdict import Acceptance

MM = 1e-3


def came_back(bench, **order):
    bench.order("B", "bore", "cylinder 1", **order)
    [result] = bench.assess().orders
    return result


def test_as_ordered(bench):
    result = came_back(bench.bore(1), low=85.990, high=86.010)
    assert (result.standing, result.at) == (Standing.CONFORMS, "cylinder 1")
    assert result.estimate.value == pytest.approx(86.0 * MM, rel=1e-12)


@pytest.mark.parametrize("spot", ["top thrust", "middle axial", "bottom thrust"])
@pytest.mark.parametrize("off", [-0.020, 0.020])
def test_out_at_one_spot(bench, spot, off):
    height, way = spot.split()
    result = came_back(
        bench.bore(1, **{height: (off, 0.0) if way == "thrust" else (0.0, off)}), low=85.990, high=86.010
    )
    assert (result.standing, result.spot) == (Standing.NONCONFORMING, spot)
    assert result.estimate.value == pytest.approx((86.0 + off) * MM, rel=1e-12)


def test_the_spot_that_is_farthest_from_proof_is_named(bench):
    """Both conform; the middle has the larger chance of being out."""
    bench.gauge(id="M", resolution_si=0.0, certificate_si=0.0, repeatability_si=2e-6)
    result = came_back(bench.bore(1, top=(0.001, 0.0), middle=(0.004, 0.0), gauge="M"), low=85.990, high=86.010)
    assert (result.standing, result.spot) == (Standing.CONFORMS, "middle thrust")


def test_too_near_to_tell(bench):
    bench.gauge(id="M", resolution_si=0.0, certificate_si=0.0, repeatability_si=2e-6)
    result = came_back(bench.bore(1, bottom=(0.0, 0.009), gauge="M"), low=85.990, high=86.010)
    assert (result.standing, result.spot) == (Standing.UNDECIDED, "bottom axial")


def test_what_is_out_outweighs_what_cannot_be_told(bench):
    bench.gauge(id="M", resolution_si=0.0, certificate_si=0.0, repeatability_si=2e-6)
    result = came_back(bench.bore(1, top=(0.009, 0.0), bottom=(0.0, 0.030), gauge="M"), low=85.990, high=86.010)
    assert (result.standing, result.spot) == (Standing.NONCONFORMING, "bottom axial")


def test_open_until_every_spot_is_read(bench):
    bench.bore(1).withdraw("B", "bore", "top axial")
    result = came_back(bench, low=85.990, high=86.010)
    assert (result.standing, result.missing, result.estimate) == (
        Standing.OPEN,
        ("bore of B at cylinder 1 (top axial), plate on",),
        None,
    )


def test_a_reading_in_another_state_does_not_show_what_came_back(bench):
    assert came_back(bench.bore(1, state="plate off"), low=85.990, high=86.010).standing is Standing.OPEN


@pytest.mark.parametrize(
    ("limits", "standing"), [({"low": 86.010}, Standing.NONCONFORMING), ({"high": 86.010}, Standing.CONFORMS)]
)
def test_one_side_ordered(bench, limits, standing):
    assert came_back(bench.bore(1), **limits).standing is standing


def test_work_without_a_size_is_not_called_as_ordered(bench):
    assert came_back(bench.bore(1)).standing is Standing.UNLIMITED


def test_an_order_for_every_position(bench):
    bench.bore(1).bore(2, top=(0.050, 0.0)).order("B", "bore", low=85.990, high=86.010)
    assert [(result.at, result.standing) for result in bench.assess().orders] == [
        ("cylinder 1", Standing.CONFORMS), ("cylinder 2", Standing.NONCONFORMING),
    ]  # fmt: skip


def test_an_order_on_a_part_without_positions(bench):
    bench.read("C1", "big end", state="caps torqued; shells out", square=54.0, left=54.0, right=54.02)
    bench.order("C1", "big end", low=53.99, high=54.01)
    [result] = bench.assess().orders
    assert (result.at, result.standing, result.spot) == ("", Standing.NONCONFORMING, "right")


def test_orders_follow_the_shops_rule(bench):
    bench.rules["acceptance"] = Acceptance.PLAIN
    bench.gauge(id="M", resolution_si=0.0, certificate_si=0.0, repeatability_si=2e-6)
    assert (
        came_back(bench.bore(1, bottom=(0.0, 0.009), gauge="M"), low=85.990, high=86.010).standing is Standing.CONFORMS
    )
