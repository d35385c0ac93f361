"""The slot-and-pin mark: what is drawn says the verdict, whatever the numbers."""

import dataclasses
import math
import re
import unicodedata
from xml.etree import ElementTree

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from blockwright.fits.assessment import Standing
from blockwright.report.slot import STANDINGS, Mark, block_mark, standing_said, svg_mark
from blockwright.report.slot_place import Canvas, Placed, Span, place

VERDICTS = ("conforms", "undecided", "nonconforming", "accepted")
TERMINAL = Canvas(21, 4, wall=1.0, least=1.0, tip=1.0, grid=1.0)
PAGE = Canvas(190.0, 38.0, wall=2.0, least=6.0, tip=8.0, grid=0.1)
PIXEL = 1e-6
"""A stretch that nobody sees: places on a page are sums of tenths."""

SOUND = re.compile(r"M([MHVLqlmz]|-?[0-9]+(\.[0-9]+)?| )*")

plain = st.floats(-100.0, 100.0, allow_subnormal=False)
widths = st.integers(7, 60)
canvases = st.sampled_from((TERMINAL, PAGE))


@st.composite
def marks(draw: st.DrawFn, standings: tuple[str, ...] = STANDINGS, limited: bool = False) -> Mark:
    """Any mark: any side open, limits equal or crossed, values at and near a limit, in metres of an engine or larger.

    A `limited` one has a slot: at least one limit, and none that excludes the other.
    """
    scale = draw(st.sampled_from((1.0, 1e-5)))
    number = plain.map(lambda value: value * scale)
    low, high, aim = (draw(st.none() | number) for _ in range(3))
    if limited and low is None and high is None:
        low = draw(number)
    if limited and low is not None and high is not None:
        low, high = min(low, high), max(low, high)
    about = draw(st.sampled_from([limit for limit in (low, high) if limit is not None] or [0.0]))
    value = draw(number | st.just(about) | number.map(lambda away: about + 0.02 * away))
    half = draw(st.just(0.0) | st.floats(0.0, 300.0, allow_subnormal=False).map(lambda half: half * scale))
    return Mark(low, high, aim, value, half, draw(st.sampled_from(standings)))


def mirrored(mark: Mark) -> Mark:
    def turned(number: float | None) -> float | None:
        return None if number is None else -number

    return Mark(turned(mark.high), turned(mark.low), turned(mark.aim), -mark.value, mark.half, mark.standing)


def paths(picture: ElementTree.Element) -> list[ElementTree.Element]:
    return picture.findall(".//{*}path")


def slot_of(placed: Placed) -> Span:
    """The stretch between the inner faces of the walls; an open side has none."""
    return Span(
        -math.inf if placed.left is None else placed.left.end,
        math.inf if placed.right is None else placed.right.start,
    )


def past_walls(placed: Placed) -> list[tuple[Span, bool]]:
    """Each wall, with whether it is the left one."""
    return [(wall, wall is placed.left) for wall in (placed.left, placed.right) if wall is not None]


def crosses(pin: Span, wall: Span) -> bool:
    """Whether a pin reaches visibly past both faces of a wall."""
    return pin.start <= wall.start - 1.0 + PIXEL and pin.end >= wall.end + 1.0 - PIXEL


def off_the_slot(placed: Placed, pin: Span) -> bool:
    slot = slot_of(placed)
    left, right = placed.left, placed.right
    below = left is not None and pin.end <= left.start + PIXEL
    above = right is not None and pin.start >= right.end - PIXEL
    return (below or above) and not (slot.start < pin.start < slot.end)


def test_the_words_are_those_of_the_assessment() -> None:
    assert set(STANDINGS) == {*map(str, Standing), "accepted"}


@given(marks(), widths)
def test_a_mark_fills_its_columns_with_single_width_signs(mark: Mark, width: int) -> None:
    drawn = block_mark(mark, width)
    assert len(drawn) == width
    assert {unicodedata.category(sign) for sign in drawn} <= {"So", "Sm", "Zs"}
    assert not {unicodedata.east_asian_width(sign) for sign in drawn} & {"W", "F"}


@given(marks(), widths)
def test_a_dumb_terminal_gets_the_same_picture(mark: Mark, width: int) -> None:
    twins = str.maketrans("━┄╳┫┣┃╋╍┇┊◄►▄▒▌║▐□▬", "-.x[]|+~|:<>#?XXXo+")
    drawn = block_mark(mark, width, ascii=True)
    assert drawn.isascii()
    assert drawn == block_mark(mark, width).translate(twins)


@given(marks(("conforms",), limited=True), canvases)
def test_what_conforms_lies_in_the_slot(mark: Mark, canvas: Canvas) -> None:
    placed = place(mark, canvas)
    slot = slot_of(placed)
    (pin,) = placed.pins
    assert slot.start - PIXEL <= pin.start
    assert pin.end <= slot.end + PIXEL
    assert pin.end - pin.start >= canvas.least - PIXEL


@given(marks(("nonconforming",), limited=True), canvases)
def test_what_is_out_lies_off_the_slot(mark: Mark, canvas: Canvas) -> None:
    placed = place(mark, canvas)
    assert placed.pins
    assert all(off_the_slot(placed, pin) for pin in placed.pins)


@given(marks(("undecided",), limited=True), canvases)
def test_what_is_undecided_lies_across_the_nearest_wall(mark: Mark, canvas: Canvas) -> None:
    placed = place(mark, canvas)
    (pin,) = placed.pins
    far = math.inf
    low = far if mark.low is None else abs(mark.value - mark.low)
    high = far if mark.high is None else abs(mark.value - mark.high)
    assert placed.left is None or low > high or crosses(pin, placed.left)
    assert placed.right is None or high > low or crosses(pin, placed.right)


@example(6.3, 6.29, PAGE)
@example(5.7, 6.29, PAGE)
@given(st.floats(0.0, 12.0), st.floats(0.0, 20.0), canvases)
def test_an_undecided_pin_is_clear_of_a_limit_that_it_does_not_reach(value: float, half: float, canvas: Canvas) -> None:
    placed = place(Mark(0.0, 12.0, None, value, half, "undecided"), canvas)
    (pin,), slot = placed.pins, slot_of(placed)
    if value > max(half, 12.0 - value):
        assert pin.start >= slot.start - PIXEL
    if 12.0 - value > max(half, value):
        assert pin.end <= slot.end + PIXEL


@given(marks(("accepted",), limited=True), canvases)
def test_what_was_accepted_never_looks_as_if_it_conformed(mark: Mark, canvas: Canvas) -> None:
    placed = place(mark, canvas)
    assert placed.pins
    for pin in placed.pins:
        assert off_the_slot(placed, pin) or any(crosses(pin, wall) for wall, _ in past_walls(placed))


@given(marks(), plain, canvases)
def test_a_larger_value_never_lies_further_left(mark: Mark, more: float, canvas: Canvas) -> None:
    assume(mark.standing != "open")
    larger = dataclasses.replace(mark, value=mark.value + abs(more) * max(abs(mark.value), mark.half) / 10.0)
    before, after = place(mark, canvas).pins, place(larger, canvas).pins
    assert before[0].start <= after[0].start + PIXEL
    assert before[-1].end <= after[-1].end + PIXEL


@given(marks(), widths)
def test_a_mirrored_mark_gives_the_mirrored_picture(mark: Mark, width: int) -> None:
    turn = str.maketrans("┫┣◄►▌▐", "┣┫►◄▐▌")
    assert block_mark(mirrored(mark), width) == block_mark(mark, width)[::-1].translate(turn)


@given(st.floats(2.0, 10.0), st.floats(0.5, 5.0))
def test_a_pin_clear_of_the_walls_is_drawn_where_it_is(value: float, half: float) -> None:
    """Limits 0 and 12 on 21 columns: a unit a column, with 0 in the middle of column 4."""
    half = min(half, value - 1.0, 11.0 - value)
    (pin,) = place(Mark(0.0, 12.0, None, value, half, "conforms"), TERMINAL).pins
    assume(half >= 0.5)
    assert abs(pin.start - (4.5 + value - half)) <= 0.5 + PIXEL
    assert abs(pin.end - (4.5 + value + half)) <= 0.5 + PIXEL


@pytest.mark.parametrize(
    ("mark", "drawn"),
    [
        # A unit is a column; the limit 0 stands in the middle of column 4, the limit 12 of column 16.
        (Mark(0.0, 12.0, 6.0, 3.0, 0.0, "conforms"), "━━━━┫  ▄  ┊     ┣━━━━"),
        (Mark(0.0, 12.0, 6.0, 3.0, 1.4, "conforms"), "━━━━┫ ▄▄▄ ┊     ┣━━━━"),
        (Mark(-6.0, 6.0, 0.0, -3.0, 1.4, "conforms"), "━━━━┫ ▄▄▄ ┊     ┣━━━━"),
        (Mark(0.0, 12.0, 6.0, 1.0, 2.4, "undecided"), "━━━▒┃▒▒▒  ┊     ┣━━━━"),
        (Mark(0.0, 12.0, 6.0, 11.2, 0.9, "undecided"), "━━━━┫     ┊    ▒┃▒━━━"),
        (Mark(0.0, 12.0, 6.0, -2.0, 1.0, "nonconforming"), "━▌▌▌┫     ┊     ┣━━━━"),
        (Mark(0.0, 12.0, 6.0, 14.0, 0.4, "nonconforming"), "━━━━┫     ┊     ┣━▐━━"),
        (Mark(0.0, 12.0, 6.0, -90.0, 0.4, "nonconforming"), "◄▌━━┫     ┊     ┣━━━━"),
        (Mark(0.0, 12.0, 6.0, 90.0, 0.4, "nonconforming"), "━━━━┫     ┊     ┣━━▐►"),
        (Mark(0.0, 12.0, 6.0, 6.0, 900.0, "undecided"), "◄▒▒▒┃▒▒▒▒▒▒▒▒▒▒▒┃▒▒▒►"),
        (Mark(0.0, 12.0, 6.0, 6.0, 900.0, "nonconforming"), "◄▌▌▌┫     ┊     ┣▐▐▐►"),
        (Mark(0.0, 12.0, 6.0, 14.0, 0.4, "accepted"), "━━━━┫     ┊     ┣━□━━"),
        (Mark(0.0, 12.0, 6.0, 13.0, 1.4, "accepted"), "━━━━┫     ┊    □┃□□━━"),
        (Mark(0.0, 12.0, 6.0, math.nan, 0.0, "open"), "╍╍╍╍┇     ┊     ┇╍╍╍╍"),
        # One limit: the aim lies in the middle, or else zero where the other wall would be.
        (Mark(6.0, None, 12.0, 9.0, 0.0, "conforms"), "━━━━┫  ▄  ┊      ┄┄┄┄"),
        (Mark(None, 12.0, None, 3.0, 1.4, "conforms"), "┄┄┄┄  ▄▄▄       ┣━━━━"),
        (Mark(-12.0, None, None, -3.0, 1.4, "conforms"), "━━━━┫       ▄▄▄  ┄┄┄┄"),
        # Zero lies outwards: half the limit fills the room; a pin takes at most half of it; nothing else to go by: a quarter.
        (Mark(12.0, None, None, 13.5, 0.0, "conforms"), "━━━━┫  ▄         ┄┄┄┄"),
        (Mark(1.0, None, None, 4.0, 1.5, "conforms"), "━━━━┫  ▄▄▄▄▄▄▄   ┄┄┄┄"),
        (Mark(0.0, None, None, 5.0, 0.0, "conforms"), "━━━━┫  ▄         ┄┄┄┄"),
        # Equal limits leave one column; limits that exclude each other leave no slot.
        (Mark(5.0, 5.0, None, 5.0, 0.0, "conforms"), "━━━━━━━━━┫▄┣━━━━━━━━━"),
        (Mark(12.0, 0.0, None, 3.0, 0.0, "nonconforming"), "━━━━╋╳╳▌╳╳╳╳╳╳╳╳╋━━━━"),
        # No limit, no slot.
        (Mark(None, None, None, 5.0, 0.0, "no limit given"), "┄┄┄┄      ▬      ┄┄┄┄"),
    ],
)
def test_marks_drawn_by_hand(mark: Mark, drawn: str) -> None:
    assert block_mark(mark) == drawn


@pytest.mark.parametrize("value", [0.0, 0.001, 5.999, 12.0])
def test_a_plain_rule_takes_the_reading_at_its_word(value: float) -> None:
    """However wide the pin: the reading is in, so is the pin."""
    drawn = block_mark(Mark(0.0, 12.0, None, value, 9.0, "conforms"), ascii=True)
    assert set(drawn[:4] + drawn[17:]) == {"-"}
    assert set(drawn[5:16]) <= {"#", " "}
    assert "#" in drawn


def test_in_across_and_out_look_different_at_one_place() -> None:
    same = [Mark(0.0, 12.0, None, 0.4, 1.0, standing) for standing in STANDINGS]
    shapes = [tuple(path.attrib["d"] for path in paths(ElementTree.fromstring(svg_mark(mark)))) for mark in same]
    for drawn in ([block_mark(mark) for mark in same], [block_mark(mark, ascii=True) for mark in same], shapes):
        assert len(set(drawn)) == len(STANDINGS)


@given(marks(), st.integers(80, 400), st.integers(16, 60), st.text())
def test_an_svg_mark_is_sound_xml(mark: Mark, width: int, height: int, title: str) -> None:
    drawn = svg_mark(mark, width, height, title)
    root = ElementTree.fromstring(drawn)
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert (root.get("role"), root.get("viewBox")) == ("img", f"0 0 {width} {height}")
    named = root.findtext("{*}title")
    assert named
    assert root.get("aria-label") == named
    assert paths(root)
    assert all(SOUND.fullmatch(path.attrib["d"]) for path in paths(root))
    assert " id=" not in drawn


@pytest.mark.parametrize(
    ("standing", "looks", "colour"),
    [
        ("conforms", "pin good", "#1d4f91"),
        ("undecided", "pin doubt", "#8a5a00"),
        ("nonconforming", "pin out", "#b3261e"),
        ("accepted", "pin", "#17191b"),
    ],
)
def test_an_svg_pin_has_its_class_and_stands_alone(standing: str, looks: str, colour: str) -> None:
    root = ElementTree.fromstring(svg_mark(Mark(0.0, 12.0, 6.0, 13.0, 0.5, standing), title="Main 3 < 0.03"))
    found = {path.get("class"): path.get("fill") for path in paths(root)}
    assert found[looks] == colour
    assert {"slot", "wall", "aim"} <= found.keys()
    assert root.findtext("{*}title") == "Main 3 < 0.03"


def test_a_mark_without_a_title_says_its_standing() -> None:
    out = Mark(0.0, 12.0, None, -1.0, 0.0, "nonconforming")
    assert standing_said(out) == "nonconforming, reads under the low limit"
    assert standing_said(mirrored(out)) == "nonconforming, reads over the high limit"
    assert ElementTree.fromstring(svg_mark(out)).get("aria-label") == standing_said(out)
    assert standing_said(Mark(0.0, 12.0, None, 3.0, 0.0, "conforms")) == "conforms"


@pytest.mark.parametrize(
    ("value", "half", "standing"),
    [
        (math.nan, 0.0, "conforms"),
        (math.inf, 0.0, "undecided"),
        (1.0, math.inf, "undecided"),
        (1.0, -0.1, "conforms"),
        (1.0, 0.1, "fine"),
    ],
)
def test_a_mark_of_nonsense_is_refused(value: float, half: float, standing: str) -> None:
    with pytest.raises(ValueError, match=r"standing|finite"):
        Mark(0.0, 2.0, None, value, half, standing)


def test_a_picture_too_small_to_tell_is_refused() -> None:
    mark = Mark(0.0, 2.0, None, 1.0, 0.1, "conforms")
    with pytest.raises(ValueError, match="7 columns, not 6"):
        block_mark(mark, 6)
    with pytest.raises(ValueError, match="80 by 16"):
        svg_mark(mark, 79, 26)
