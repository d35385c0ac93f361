"""The number at the front of a text, kept exact: decimal point or comma, powers of ten, inch fractions, signs.

A comma is a decimal comma, except where it could as well part thousands (`12,345`): that is refused and asked
about.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from blockwright.quantities.errors import QuantityError, excerpt
from blockwright.quantities.units import Ratio

LONGEST_TEXT = 80
LARGEST_POWER = 30
MOST_DIGITS = 9
"""A count of more digits is a slip, and turning ever so long a row of digits into a number is refused by Python."""

_MINUS = "−–‐‑-"  # the plain hyphen last, so that it makes no range inside brackets
_SIZED = re.compile(
    rf"(?P<sign>[+{_MINUS}])? ?"
    r"(?:(?:(?P<whole>[0-9]+)(?: ?[-‐‑] ?| ))?(?P<top>[0-9]+) ?[/⁄] ?(?P<bottom>[0-9]+)"
    rf"|(?P<digits>[.,]?[0-9][0-9.,]*)(?:[eE](?P<power>[+{_MINUS}]?[0-9]+))?)"
    r"(?P<rest>.*)"
)
# Thousands parted, in the ways that leave no doubt: pattern, the mark between thousands, the decimal sign.
_GROUPED = (
    (r"[1-9][0-9]{0,2}(?:,[0-9]{3}){2,}", ",", "."),
    (r"[1-9][0-9]{0,2}(?:,[0-9]{3})+\.[0-9]+", ",", "."),
    (r"[1-9][0-9]{0,2}(?:\.[0-9]{3}){2,}", ".", ","),
    (r"[1-9][0-9]{0,2}(?:\.[0-9]{3})+,[0-9]+", ".", ","),
)
_LIKE_THOUSANDS = r"[1-9][0-9]{0,2},[0-9]{3}"
_BELOW_THE_LINE = (2, 4, 8, 16, 32, 64, 128)


@dataclass(frozen=True)
class Numeral:
    """What was written: (count / below) × 10^power, the sign ("", "+" or "-"), and the words after the number."""

    count: int
    power: int
    below: int
    sign: str
    rest: str

    @property
    def exact(self) -> Ratio:
        """The number, sign included."""
        size = self._of(self.count)
        return Ratio(-size.top, size.bottom) if self.sign == "-" else size

    @property
    def step(self) -> Ratio:
        """One unit of the last digit written, or one part of the fraction."""
        return self._of(1)

    @property
    def is_fraction(self) -> bool:
        """Whether it was written with a fraction line."""
        return self.below != 1

    def _of(self, count: int) -> Ratio:
        raised = Ratio(10**self.power) if self.power >= 0 else Ratio(1, 10**-self.power)
        return Ratio(count, self.below) * raised


def read_numeral(text: str) -> Numeral:
    """The number a text begins with. Raises QuantityError, in bounded time, where there is none or it is unclear."""
    if len(text) > LONGEST_TEXT + 40:
        raise _too_long(text)
    line = " ".join(text.split())
    if len(line) > LONGEST_TEXT:
        raise _too_long(text)
    if not line:
        raise QuantityError("empty", "nothing is written here.", "Write a number and its unit.")
    found = _SIZED.fullmatch(line)
    if found is None:
        raise QuantityError(
            "no-number", f"'{excerpt(line)}' does not begin with a number.", "Write a number and its unit."
        )
    sign = {None: "", "+": "+"}.get(found["sign"], "-")
    rest = found["rest"].strip()
    if re.match(r"[0-9](?!/)|[.,+±][0-9]", rest) or re.match(r"[0-9]+/[0-9]", rest):
        what = f"'{excerpt(line)}' holds more than one number, or a number with a gap in it."
        raise QuantityError("two-numbers", what, "Write one number, without gaps.")
    if found["top"]:
        return _fraction(line, found, sign, rest)
    return _decimal(line, found["digits"], found["power"] or "0", sign, rest)


def whole_number(text: str) -> int | None:
    """A count without sign, such as a cylinder's number; `None` for anything else, superscripts and circled digits too."""
    return int(text) if text.isdecimal() and len(text) <= MOST_DIGITS else None


def plain_digits(count: int, power: int) -> str:
    """`count` × 10^power written out without a power of ten: (23, -4) is 0.0023."""
    if power >= 0:
        return str(count * 10**power)
    digits = str(count).rjust(1 - power, "0")
    return f"{digits[:power]}.{digits[power:]}"


def _fraction(line: str, found: re.Match[str], sign: str, rest: str) -> Numeral:
    whole, top, bottom = (int(found[part] or "0") for part in ("whole", "top", "bottom"))
    if bottom not in _BELOW_THE_LINE or (found["whole"] and top >= bottom):
        what = f"'{excerpt(line)}' is no fraction of a rule: halves, quarters, down to 128ths."
        raise QuantityError("fraction", what, "Write it as a decimal, or mend the fraction.")
    return Numeral(whole * bottom + top, 0, bottom, sign, rest)


def _decimal(line: str, digits: str, power: str, sign: str, rest: str) -> Numeral:
    plain = _with_point(line, digits)
    before, _, after = plain.partition(".")
    count = int(before + after)
    raised = int("".join("-" if mark in _MINUS else mark for mark in power))
    size = len(str(count)) + raised - len(after)
    if abs(raised) > LARGEST_POWER or len(plain) > LARGEST_POWER or (count and abs(size) > LARGEST_POWER):
        raise QuantityError(
            "size",
            f"'{excerpt(line)}' is no size that can be measured.",
            "Check the digits and the power of ten.",
        )
    return Numeral(count, raised - len(after), 1, sign, rest)


def _with_point(line: str, digits: str) -> str:
    """The digits with a decimal point and nothing else."""
    commas, points = digits.count(","), digits.count(".")
    if commas == 0 and points <= 1:
        return digits
    if re.fullmatch(_LIKE_THOUSANDS, digits):
        first, second = digits.replace(",", "."), digits.replace(",", "")
        raise QuantityError(
            "comma",
            f"'{excerpt(line)}' can be read as {first} or as {second}.",
            f"Write {first} or {second}, without the comma.",
        )
    if commas == 1 and points == 0 and not digits.endswith(","):
        return digits.replace(",", ".")
    for pattern, mark, point in _GROUPED:
        if re.fullmatch(pattern, digits):
            return digits.replace(mark, "").replace(point, ".")
    raise QuantityError(
        "no-number", f"the commas and points of '{excerpt(line)}' make no number.", "Write one decimal point."
    )


def _too_long(text: str) -> QuantityError:
    return QuantityError(
        "long", f"'{excerpt(text.strip())}' is too long for a quantity.", "Write a number and its unit."
    )
