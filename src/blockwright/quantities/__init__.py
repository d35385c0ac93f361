"""Text ↔ quantity, for what engine builders write. SI floats inside (temperatures in °C, pressures absolute).

| module | responsibility |
| --- | --- |
| `units` | the kinds, and the table of units with exact factors and their sources |
| `lookup` | unit words: spellings, words that mean two things, conversion |
| `numerals` | the number at the front of a text, exact |
| `entering` | text → quantity |
| `showing` | SI → text, digits fitted to the uncertainty |
| `doubting` | implausible values, and what may have been meant |
| `declared` | how a field of a record is written: kind, unit, span |
| `errors` | the error of this package |
"""

from __future__ import annotations

from blockwright.quantities.doubting import did_you_mean, plausible
from blockwright.quantities.entering import Quantity, parse
from blockwright.quantities.errors import QuantityError
from blockwright.quantities.lookup import convert, known_units
from blockwright.quantities.numerals import whole_number
from blockwright.quantities.showing import decimals_for, show
from blockwright.quantities.units import Kind

__all__ = [
    "Kind",
    "Quantity",
    "QuantityError",
    "convert",
    "decimals_for",
    "did_you_mean",
    "known_units",
    "parse",
    "plausible",
    "show",
    "whole_number",
]
