"""Where a TOML text says what: line numbers for messages, and changes that touch nothing else."""

import datetime as dt
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.jobfile.toml_edit import NoPlaceError, edited, new_text, value_text
from blockwright.jobfile.toml_lines import Lines

TEXT = '''# a remark with [brackets] and a = sign
format = "x"
"quoted key" = 1   # [not.a.table]
'single' = 2
dotted.name.deep = 3
"a\\u0062c" = 4
long = """
[not a table]
key = 1
"""
longer = \'\'\'
[[part]]\'\'\'
banks = [
  [1, 2, 3],   # first
  [4, 5, 6]
]
after = 5

[engine]
bore = "97 mm"
[engine.heights]
top = "15 mm"
[ "spaced" . 'out' ]
key = 1

[[part]]
mark = "P1"
shells = [
  "CU1",
  "CL1",
]
[[part]]
mark = "P2"
[part.box]
size = 1
[[part.row]]
to = 1
[[part.row]]
to = 2
inline = { a = 1, b = [ { c = 2 } ] }

[[part]]   # the third
mark = "P3"'''

LINES = {
    ("format",): 2,
    ("quoted key",): 3,
    ("single",): 4,
    ("dotted",): 5,
    ("dotted", "name", "deep"): 5,
    ("abc",): 6,
    ("long",): 7,
    ("longer",): 11,
    ("banks",): 13,
    ("banks", 0): 14,
    ("banks", 0, 2): 14,
    ("banks", 1, 1): 15,
    ("after",): 17,
    ("engine",): 19,
    ("engine", "bore"): 20,
    ("engine", "heights"): 21,
    ("engine", "heights", "top"): 22,
    ("spaced", "out"): 23,
    ("spaced", "out", "key"): 24,
    ("part", 0): 26,
    ("part", 0, "mark"): 27,
    ("part", 0, "shells", 1): 30,
    ("part", 1): 32,
    ("part", 1, "mark"): 33,
    ("part", 1, "box", "size"): 35,
    ("part", 1, "row", 0, "to"): 37,
    ("part", 1, "row", 1): 38,
    ("part", 1, "row", 1, "inline", "b", 0, "c"): 40,
    ("part", 2, "mark"): 43,
}


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_lines(end) -> None:
    text = TEXT.replace("\n", end)
    assert tomllib.loads(text)["after"] == 5
    lines = Lines(text)
    assert {path: lines.of(path) for path in LINES} == LINES


def test_what_is_missing_has_the_line_around_it() -> None:
    lines = Lines(TEXT)
    assert lines.of(("engine", "stroke")) == 19
    assert lines.of(("part", 2, "kind")) == 42
    assert lines.of(("part", 1, "row", 1, "from")) == 38
    assert lines.of(("nothing",)) == 0
    assert lines.of(()) == 0


@pytest.mark.parametrize(
    "text",
    ["", "\n\n", "# only", "a = 1", "[a]", "[[a]]", 'a = """x""""', "a = 1979-05-27 07:32:00 # day", "a = -1e-5\n\n"],
)
def test_small_texts(text) -> None:
    keys = list(tomllib.loads(text))
    assert [Lines(text).of((key,)) for key in keys] == [1] * len(keys)


@pytest.mark.parametrize("text", ["[", '"', "a", "a =", "a = [", "a = {", "[[a]", "]", "= 1", "a = 'b"])
def test_a_text_that_is_no_toml_does_no_harm(text) -> None:
    assert Lines(text).of(("x",)) == 0


def test_time_grows_with_length_only() -> None:
    """Texts that would keep a careless scan busy for hours."""
    for text in (
        "[" + " " * 100_000,
        '"' * 99_999,
        "a." * 100_000,
        "[" * 900,
        "'''" + "\n" * 300_000,
        "a = " + '"\\"' * 90_000,
    ):
        Lines(text).of(("x",))


def change(text: str, make) -> str:
    wanted = tomllib.loads(text)
    make(wanted)
    after = edited(text, tomllib.loads(text), wanted)
    assert tomllib.loads(after) == wanted
    return after


@pytest.mark.parametrize(
    ("make", "old", "new"),
    [
        (lambda t: t.update(format="y"), 'format = "x"', 'format = "y"'),
        (lambda t: t.update({"quoted key": 7}), '"quoted key" = 1   #', '"quoted key" = 7   #'),
        (lambda t: t.update(long="short"), 'long = """\n[not a table]\nkey = 1\n"""', 'long = "short"'),
        (lambda t: t.update(banks=[]), "[\n  [1, 2, 3],   # first\n  [4, 5, 6]\n]", "[]"),
        (lambda t: t.pop("banks"), "banks = [\n  [1, 2, 3],   # first\n  [4, 5, 6]\n]\n", ""),
        (lambda t: t["dotted"]["name"].update(deep=4), "deep = 3", "deep = 4"),
        (lambda t: t["dotted"]["name"].update(more=4), "deep = 3\n", "deep = 3\ndotted.name.more = 4\n"),
        (lambda t: t["dotted"]["name"].pop("deep") and t.pop("dotted"), "dotted.name.deep = 3\n", ""),
        (lambda t: t["engine"].update(rod="1 mm"), '"97 mm"\n', '"97 mm"\nrod = "1 mm"\n'),
        (lambda t: t["engine"].pop("bore"), 'bore = "97 mm"\n', ""),
        (lambda t: t["engine"].pop("heights"), '[engine.heights]\ntop = "15 mm"\n', ""),
        (lambda t: t.pop("engine"), '[engine]\nbore = "97 mm"\n[engine.heights]\ntop = "15 mm"\n', ""),
        (lambda t: t["part"][1].update(mark="P9"), 'mark = "P2"', 'mark = "P9"'),
        (lambda t: t["part"][1]["row"][1]["inline"].update(a=3), "{ a = 1, b = [ { c = 2 } ] }", "{a = 3, b = [{c = 2}]}"),
        (lambda t: t["part"][1]["row"].pop(0), "[[part.row]]\nto = 1\n", ""),
        (lambda t: t["part"].pop(0), '[[part]]\nmark = "P1"\nshells = [\n  "CU1",\n  "CL1",\n]\n', ""),
        (lambda t: t["part"].pop(), '[[part]]   # the third\nmark = "P3"', ""),
        (lambda t: t["part"].insert(0, {"mark": "P0"}), '[[part]]\nmark = "P1"', '[[part]]\nmark = "P0"\n\n[[part]]\nmark = "P1"'),
        (lambda t: t["part"].append({"mark": "P4"}), 'mark = "P3"', 'mark = "P3"\n\n[[part]]\nmark = "P4"\n'),
        (lambda t: t.update(new={"a": 1}), 'mark = "P3"', 'mark = "P3"\n\n[new]\na = 1\n'),
        (lambda t: t.update(new=[{"a": 1}, {"b": {"c": "d"}}]), 'mark = "P3"', 'mark = "P3"\n\n[[new]]\na = 1\n\n[[new]]\nb = {c = "d"}\n'),
        (lambda t: t.update(first="é \\ \" \x01\n"), "after = 5\n", 'after = 5\nfirst = "é \\\\ \\" \\u0001\\n"\n'),
    ],
)  # fmt: skip
def test_a_change_touches_nothing_else(make, old, new) -> None:
    assert TEXT.count(old) == 1
    assert change(TEXT, make) == TEXT.replace(old, new)


def test_line_ends_stay() -> None:
    text = TEXT.replace("\n", "\r\n")
    after = change(text, lambda t: t["part"].append({"mark": "P4", "kind": "pin"}))
    assert after == text + '\r\n\r\n[[part]]\r\nmark = "P4"\r\nkind = "pin"\r\n'


def test_tables_out_of_order() -> None:
    text = "[[part]]\na = 1\n\n[duty]\nb = 2\n\n[[part]] # again\na = 3\n"
    assert change(text, lambda t: t["duty"].update(b=4)) == text.replace("b = 2", "b = 4")
    assert change(text, lambda t: t["part"].append({"a": 5})) == text + "\n[[part]]\na = 5\n"
    assert change(text, lambda t: t["part"].pop(0)) == text.removeprefix("[[part]]\na = 1\n\n")


def test_a_table_known_only_by_what_lies_in_it() -> None:
    text = "[a.b]\nc = 1\n"
    assert change(text, lambda t: t["a"].update(d=1)) == text + "\n[a]\nd = 1\n"


def test_what_has_no_place_is_refused() -> None:
    for make in (lambda t: t.update(a=1), lambda t: t.update(part=[{"a": [1]}, 2])):
        with pytest.raises(NoPlaceError):
            change("[a]\nb = 1\n[[part]]\na = 1\n", make)


SCALARS = st.one_of(
    st.text(st.characters(codec="utf-8"), max_size=8),
    st.integers(-(10**12), 10**12),
    st.floats(allow_nan=False),
    st.booleans(),
    st.dates(),
    st.datetimes(),
    st.times(),
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner, max_size=3),
    max_leaves=6,
)
TABLES = st.dictionaries(st.text(st.characters(codec="utf-8"), max_size=4), VALUES, max_size=5)


@given(VALUES)
def test_every_value_reads_back(value) -> None:
    assert tomllib.loads(f"x = {value_text(value)}")["x"] == value


@given(TABLES)
def test_every_table_reads_back(table) -> None:
    assert tomllib.loads(new_text(table)) == table


@given(TABLES, TABLES, st.sampled_from(["\n", "\r\n"]))
def test_any_change_is_made_or_refused(held, wanted, end) -> None:
    text = new_text(held).replace("\n", end)
    try:
        after = edited(text, tomllib.loads(text), wanted)
    except NoPlaceError:
        return
    assert tomllib.loads(after) == wanted


def test_days_are_days() -> None:
    assert value_text(dt.date(2027, 3, 31)) == "2027-03-31"
