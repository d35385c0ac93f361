"""Type setting: what is missing is refused, what cannot be shown is told, and the same data give the same bytes."""

import datetime as dt
from pathlib import Path

import pytest

from blockwright.problems import BlockwrightError
from blockwright.report import typeset as module
from blockwright.report.typeset import typeset

from .sheet_pages import reader, text_of

HEAD = '#import "/house.typ": *\n#set document(title: "T")\n#show: house-type\n'


@pytest.fixture
def template(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A template of its own, beside the house's."""
    (tmp_path / "house.typ").write_text((module.ROOT / "house.typ").read_text(encoding="utf-8"), encoding="utf-8")
    monkeypatch.setattr(module, "ROOT", tmp_path)
    return tmp_path / "t.typ"


def test_data_reach_the_page(template: Path) -> None:
    template.write_text(HEAD + '#data.words #data.numbers.map(str).join(" ")', encoding="utf-8")
    assert text_of(typeset("t.typ", {"words": "gap ± 0.01", "numbers": [1, 2.5]})) == "gap ± 0.01 1 2.5"


def test_markup_in_data_is_only_text(template: Path) -> None:
    template.write_text(HEAD + "#data.words", encoding="utf-8")
    assert (
        text_of(typeset("t.typ", {"words": "#panic() *bold* $x$ @ref <l> // no"}))
        == "#panic() *bold* $x$ @ref <l> // no"
    )


def test_a_type_that_is_missing_is_refused(template: Path) -> None:
    template.write_text(HEAD + '#text(font: "No Such Type")[a]', encoding="utf-8")
    with pytest.raises(BlockwrightError, match="unknown font"):
        typeset("t.typ", {})


def test_a_picture_without_words_is_refused(template: Path) -> None:
    template.write_text(HEAD + '#picture("p")', encoding="utf-8")
    with pytest.raises(BlockwrightError, match="cannot be set"):
        typeset(
            "t.typ", {}, {"p": '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"><path d="M0 0h1v1z"/></svg>'}
        )


def test_a_fault_of_the_template_is_told_in_one_line(template: Path) -> None:
    template.write_text(HEAD + "#data.nothing", encoding="utf-8")
    with pytest.raises(BlockwrightError) as caught:
        typeset("t.typ", {})
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("signs", ["漢字", "😀", "漢字😀ﷺ"])
def test_signs_that_no_type_has_are_replaced_and_told(template: Path, signs: str) -> None:
    template.write_text(
        HEAD + '#data.words #if "unset_signs" in data [told #data.unset_signs.join(" ")]', encoding="utf-8"
    )
    text = text_of(typeset("t.typ", {"words": f"Ölpumpe {signs} Ω"}))
    assert "Ölpumpe" in text
    assert "Ω" in text
    for sign in signs:
        if not sign.isascii():
            assert f"U+{ord(sign):04X}" in text


def test_greek_cyrillic_and_accents_need_no_replacing(template: Path) -> None:
    template.write_text(HEAD + "#data.words", encoding="utf-8")
    words = "Kröger Łódź Ωμέγα Двигатель ñ ± µ ° – …"
    assert text_of(typeset("t.typ", {"words": words})) == words


def test_the_date_is_the_one_given(template: Path) -> None:
    template.write_text(HEAD + "a", encoding="utf-8")
    one, other = typeset("t.typ", {}, when=dt.date(2026, 3, 4)), typeset("t.typ", {}, when=dt.date(2026, 3, 4))
    assert one == other
    metadata = reader(one).metadata
    assert metadata is not None
    assert str(metadata.creation_date_raw).startswith("D:20260304")
    assert typeset("t.typ", {}) == typeset("t.typ", {})


def test_signs_without_a_shape_are_replaced(template: Path) -> None:
    template.write_text(HEAD + "#data.words", encoding="utf-8")
    assert text_of(typeset("t.typ", {"words": "a\x00b\ufeffc\ud800d\u00a0e"})) == "a�b�c�d e"
