"""Text in pictures: safe in XML, and never wider than the room that is reckoned for it."""

import string
from importlib import resources
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont

from blockwright.report.pictures.drawing import ELLIPSIS, document, fitted, shortened, text, text_width, wrapped

SIGNS = string.printable[:95] + "±°µ×·−…ÄÖÜßéñ"


@pytest.mark.parametrize("bold", [False, True])
def test_no_sign_is_wider_than_reckoned(bold: bool) -> None:
    """Against the font of the build sheet, sign by sign; it is narrower than most, so this is the least that must hold."""
    name = f"SourceSansPro-{'Bold' if bold else 'Regular'}.ttf"
    with resources.as_file(resources.files("font_source_sans_pro") / "files" / name) as file:
        font = ImageFont.truetype(str(file), 1000)
        too_wide = [sign for sign in SIGNS if font.getlength(sign) / 1000 > text_width(sign, 1, bold=bold)]
    assert too_wide == []


@given(st.text(max_size=120), st.floats(30, 400), st.booleans())
def test_fitted_text_fits_and_is_kept_where_it_can_be(said: str, room: float, bold: bool) -> None:
    shown = fitted(said, room, 13, bold=bold)
    assert text_width(shown, 13, bold=bold) <= room
    assert (shown == said) is (text_width(said, 13, bold=bold) <= room) or ELLIPSIS in said


@given(st.text(max_size=120), st.floats(40, 400))
def test_wrapped_lines_fit_and_lose_no_word_that_fits(said: str, room: float) -> None:
    lines = wrapped(said, room, 13)
    assert all(text_width(line, 13) <= room for line in lines)
    if all(text_width(word, 13) <= room for word in said.split()):
        assert " ".join(lines).split() == said.split()


@given(st.text(max_size=60))
def test_any_text_is_well_formed(said: str) -> None:
    picture = ET.fromstring(document(10, 10, (said, said), [text(0, 0, said)], name="x"))
    [shown] = picture.iter("{http://www.w3.org/2000/svg}text")
    assert "".join(sign for sign in said if sign.isprintable()) == (shown.text or "").replace("\ufffd", "") or (
        "\ufffd" in said
    )


def test_a_long_name_loses_its_middle() -> None:
    assert shortened("abcdefghij", 10) == "abcdefghij"
    assert shortened("abcdefghijk", 10) == "abcdef…ijk"
