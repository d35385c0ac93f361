"""What must hold for any text and any value."""

from __future__ import annotations

import math
import string

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from blockwright.quantities import Kind, QuantityError, convert, decimals_for, did_you_mean, parse, show
from blockwright.quantities.units import UNITS, Unit

EVERY_UNIT = [pytest.param(kind, unit, id=f"{kind}: {unit.name}") for kind, units in UNITS.items() for unit in units]
KINDS = st.sampled_from(list(Kind))
BUILDERS_SIGNS = string.digits + ".,/-+eE' \"°%:^()*·µμ−\u00a0" + "mnintholubargpsCFKNW"
WORDS = st.sampled_from([name for units in UNITS.values() for unit in units for name in (unit.name, *unit.aliases)])
FLOAT_ROUNDING = 8 * 2.0**-53


def number_floor(kind: Kind, unit: Unit) -> float:
    """The least number of a unit that can be shown and read back: a digit above absolute zero or vacuum."""
    if kind not in (Kind.TEMPERATURE, Kind.PRESSURE):
        return -1e6
    return unit.number(-273.15 if kind is Kind.TEMPERATURE else 0.0) + 1.0


@pytest.mark.parametrize(("kind", "unit"), EVERY_UNIT)
@given(data=st.data())
@settings(max_examples=40, deadline=None)
def test_what_is_shown_reads_back_within_half_a_digit(kind: Kind, unit: Unit, data: st.DataObject) -> None:
    number = data.draw(st.floats(number_floor(kind, unit), 1e6))
    u = data.draw(st.none() | st.floats(1e-9, 1e3).map(lambda n: n * unit.scale))
    signed = data.draw(st.booleans())
    si = number * unit.scale + unit.shift
    text = show(si, kind, unit.name, u=u, signed=signed)
    half_digit = 0.5 * 10.0 ** -decimals_for(unit.name, u, kind=kind) * unit.scale
    back = parse(text, kind, signed=True)
    assert abs(back.si - si) <= half_digit * (1 + 1e-9) + FLOAT_ROUNDING * (abs(si) + abs(unit.shift))
    assert back.unit == unit.name


@pytest.mark.parametrize(("kind", "unit"), EVERY_UNIT)
@given(digits=st.integers(0, 10**9), places=st.integers(0, 9))
@settings(max_examples=25, deadline=None)
def test_parse_agrees_with_float_arithmetic(kind: Kind, unit: Unit, digits: int, places: int) -> None:
    text = f"{digits / 10**places:.{places}f} {unit.name}"
    q = parse(text, kind)
    number = float(text.split(" ", maxsplit=1)[0])
    expected = number * unit.scale + unit.shift
    assert abs(q.si - expected) <= FLOAT_ROUNDING * (abs(number * unit.scale) + abs(unit.shift))
    assert q.step_si == pytest.approx(10.0**-places * unit.scale, rel=1e-13, abs=0)


@given(kind=KINDS, data=st.data(), value=st.floats(-1e6, 1e6).filter(lambda value: value == 0.0 or abs(value) > 1e-300))
@settings(max_examples=200, deadline=None)
def test_convert_there_and_back(kind: Kind, data: st.DataObject, value: float) -> None:
    start, end = (data.draw(st.sampled_from(UNITS[kind])) for _ in range(2))
    back = convert(convert(value, kind, start.name, end.name), kind, end.name, start.name)
    rounding = FLOAT_ROUNDING * (abs(value) + (abs(start.shift) + abs(end.shift)) / start.scale)
    assert abs(back - value) <= rounding


@given(
    text=st.text(max_size=120)
    | st.text(BUILDERS_SIGNS, max_size=30)
    | st.tuples(st.text(string.digits + ".,/- eE+", max_size=12), WORDS).map(" ".join),
    kind=KINDS,
    unit=st.none() | WORDS,
    signed=st.booleans(),
)
@example(text="\ud800", kind=Kind.LENGTH, unit=None, signed=False)
@example(text="1/0 in", kind=Kind.LENGTH, unit=None, signed=False)
@example(text="²", kind=Kind.LENGTH, unit=None, signed=False)
@example(text="1" + "\u0660" * 3, kind=Kind.LENGTH, unit=None, signed=True)
@example(text="0e" + "9" * 60, kind=Kind.LENGTH, unit=None, signed=True)
@settings(max_examples=2000, deadline=None)
def test_any_text_is_read_or_refused_and_nothing_else(text: str, kind: Kind, unit: str | None, signed: bool) -> None:
    refusal, q = None, None
    try:
        q = parse(text, kind, unit=unit, signed=signed)
    except QuantityError as error:
        refusal = error
    if refusal is not None:
        assert refusal.what
        assert refusal.mend
        assert str(refusal).isprintable()
    if q is not None:
        assert math.isfinite(q.si)
        assert q.step_si > 0
        assert signed or q.si >= 0 or kind is Kind.TEMPERATURE
        assert any(sign in string.digits for sign in q.text)


@given(kind=KINDS, data=st.data(), digits=st.integers(0, 99999), places=st.integers(0, 5))
@settings(max_examples=300, deadline=None)
def test_whatever_is_suggested_lies_in_the_window(kind: Kind, data: st.DataObject, digits: int, places: int) -> None:
    unit = data.draw(st.sampled_from(UNITS[kind]))
    q = parse(f"{digits / 10**places:.{places}f} {unit.name}", kind)
    target = data.draw(st.sampled_from(UNITS[kind])).scale * data.draw(st.floats(0.01, 1000.0))
    low, high = 0.5 * target, 2.0 * target
    meant = did_you_mean(q, kind, low, high, around=unit.name)
    values = [parse(text, kind).si for text in meant]
    assert all(low * (1 - 1e-8) <= value <= high * (1 + 1e-8) for value in values)
    assert len({f"{value:.9e}" for value in values}) == len(values)
