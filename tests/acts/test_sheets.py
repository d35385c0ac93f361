"""Parts, gauges, settings, limits and the tables of job.toml: entered as typed, checked by the reader, told at their field."""

import json

import pytest

from blockwright.engine.job import ENGINE_MARK
from blockwright.engine.positions import position
from blockwright.jobfile.toml_write import plain
from blockwright.metrology.gauges import Sense
from blockwright.report.event_words import Said, said


def test_a_part_is_entered_as_typed(bench):
    bench.act("part registered", part={"mark": "P9", "kind": "piston", "mass": "412 g", "batch": "7"})
    part = bench.job.parts["P9"]
    assert (part.mass_kg, part.batch) == (pytest.approx(0.412), "7")
    assert 'mark = "P9"\nkind = "piston"\nbatch = "7"\nmass = "412 g"\n' in bench.kept.texts()["job.toml"]


@pytest.mark.parametrize(
    ("part", "told"),
    [
        ({"mark": "P1", "kind": "piston"}, "mark: the part 'P1' is there twice. Give each its own mark."),
        (
            {"mark": ENGINE_MARK, "kind": "other"},
            "mark: 'engine' is the mark of the assembled engine in the readings. Give the part another mark.",
        ),
        ({"mark": "P9", "kind": "piston", "alloy": "chalk"}, "alloy: 'chalk' is not in the materials list."),
        ({"mark": "P9", "kind": "pistn"}, "kind: 'pistn' is not possible here. Did you mean 'piston'?"),
        ({"mark": "P9"}, "kind: 'kind' is missing"),
        ({"mark": "P9", "kind": "piston", "mas": "4 g"}, "mas: the name 'mas' is not known here. Did you mean 'mass'?"),
        ({"mark": "C9", "kind": "crank"}, "kind: an engine has one crank."),
        ([{"mark": "P9"}], "part: a list stands for 'part'; one table is wanted."),
    ],
)
def test_a_part_that_cannot_be(bench, part, told):
    assert bench.refused("part registered", part=part)[0].startswith(told)


def test_a_part_is_entered_again_with_what_is_now_known(bench):
    bench.act("part registered", part={"mark": "P1", "kind": "piston", "note": "weighed twice"}, again=True)
    assert [part.note for part in bench.job.sheet.part if part.mark == "P1"] == ["weighed twice"]
    assert bench.refused("part registered", part={"mark": "P9", "kind": "piston"}, again=True) == [
        "mark: no part bears the mark 'P9'. Register it as a new one."
    ]


def test_a_part_of_another_kind_than_its_readings_is_refused(bench):
    [first, *_] = bench.refused("part registered", part={"mark": "P1", "kind": "rod"}, again=True)
    assert first.startswith("part: ")
    assert "P1 is a rod; a piston is wanted here" in first


def test_a_part_moves_and_leaves_its_place(bench):
    one, two = bench.job.in_cylinder(1).piston, bench.job.in_cylinder(2).piston
    bench.act("part assigned", at="cylinder 2", as_="piston", parts=[one])
    assert (bench.job.in_cylinder(1).piston, bench.job.in_cylinder(2).piston) == ("", one)
    assert bench.job.home(one) == position("cylinder 2")
    assert bench.job.home(two) is None
    bench.act("part assigned", at="cylinder 1", as_="piston", parts=two)
    assert bench.job.in_cylinder(1).piston == two
    bench.act("part assigned", at="cylinder 1", as_="piston")
    assert bench.job.in_cylinder(1).piston == ""


def test_two_parts_change_places_in_one_act(bench):
    one, two = bench.job.in_cylinder(1).piston, bench.job.in_cylinder(2).piston
    before = bench.kept.texts()
    body = bench.act("part assigned", at="cylinder 2", as_="piston", parts=[one], swap=True)
    assert body["in_return"] == {"at": "cylinder 1", "parts": [two]}
    assert (bench.job.in_cylinder(1).piston, bench.job.in_cylinder(2).piston) == (two, one)
    assert said(bench.events[-1]) == Said(
        f"Put {one} into cylinder 2 as piston, and {two} into cylinder 1 in return", parts=(one, two)
    )
    bench.act("part assigned", at="cylinder 1", as_="piston", parts=[one], swap=True)
    assert bench.kept.texts() == before
    pairs = [list(bench.job.in_main(number).shells) for number in (1, 2)]
    bench.act("part assigned", at="main 2", as_="shells", parts=pairs[0], swap=True)
    assert [list(bench.job.in_main(number).shells) for number in (1, 2)] == pairs[::-1]


def test_a_swap_with_an_empty_place_leaves_the_other_empty(bench):
    one = bench.job.in_cylinder(1).piston
    bench.act("part assigned", at="cylinder 2", as_="piston")
    bench.act("part assigned", at="cylinder 2", as_="piston", parts=[one], swap=True)
    assert (bench.job.in_cylinder(1).piston, bench.job.in_cylinder(2).piston) == ("", one)
    assert said(bench.events[-1]).what.endswith(", and nothing into cylinder 1 in return")


def test_a_swap_that_cannot_be(bench):
    one, two = bench.job.in_cylinder(1).piston, bench.job.in_cylinder(2).piston
    shell = bench.job.in_main(1).shells[0]
    bench.act("part assigned", at="cylinder 2", as_="piston")
    no_place = "leaves no other cylinder that could be filled in return."
    for parts in ([two], [], [one], [shell]):
        at = "cylinder 1" if parts == [one] else "cylinder 2"
        told = bench.refused("part assigned", at=at, as_="piston", parts=parts, swap=True)
        assert told[0].startswith("swap: "), told
        assert no_place in told[0]
    told = bench.refused("part assigned", at="cylinder 2", as_="piston", parts=["P99"], swap=True)
    assert "P99" in told[0]
    assert told[0].startswith("parts: ")


def test_shells_go_in_pairs(bench):
    pair = list(bench.job.in_main(1).shells)
    bench.act("part assigned", at="main 2", as_="shells", parts=pair)
    assert (bench.job.in_main(1).shells, bench.job.in_main(2).shells) == ((), tuple(pair))
    assert bench.refused("part assigned", at="main 2", as_="shells", parts=pair[:1]) == [
        'parts: a bearing has two shells, and here stand 1. Write ["upper", "lower"].'
    ]


def test_what_cannot_be_put_there(bench):
    assert bench.refused("part assigned", at="cylinder 1", as_="piston", parts=["R1"]) == [
        "parts: R1 is a ring set; a piston is wanted here. Name another part."
    ]
    assert bench.refused("part assigned", at="cylinder 9", as_="rod", parts=["x"])[0].startswith(
        "at: this engine has no 'cylinder 9'."
    )
    assert bench.refused("part assigned", at="main 1", as_="rod", parts=["x"]) == [
        "as: 'rod' is no place in a main. Possible: shells."
    ]
    assert bench.refused("part assigned", at="cylinder 1", as_="rod", parts=["a", "b"])[0] == (
        "parts: one rod goes in cylinder 1, and 2 are named. Name one."
    )


def test_a_gauge_and_its_setting(bench):
    bench.act("gauge registered", gauge={"id": "M9", "resolution": "1 um", "due": "2027-01-01"})
    bench.act("gauge registered", gauge={"id": "BG9", "sense": "deviation", "resolution": "2 um"})
    bench.act("setting made", setting={"id": "S9", "gauge": "BG9", "size": "97.25 mm", "master": "M9"})
    assert bench.job.gauges["BG9"].sense is Sense.DEVIATION
    assert (bench.job.settings["S9"].by, str(bench.job.settings["S9"].when)) == ("Ann B.", "2026-11-03")
    bench.act("gauge registered", gauge={"id": "M9", "resolution": "1 um", "due": "2028-01-01"}, again=True)
    assert str(bench.job.gauges["M9"].due) == "2028-01-01"
    bench.act("reading taken", row="r901", value="-3", gauge="BG9", setting="S9")


@pytest.mark.parametrize(
    ("kind", "words", "told"),
    [
        ("gauge registered", {"gauge": {"id": "M1"}}, "id: the gauge 'M1' is there twice."),
        (
            "gauge registered",
            {"gauge": {"id": "M9", "certificate": "2 mm"}},
            "certificate: a certificate of 2 mm: did you mean 2 um",
        ),
        ("gauge registered", {"gauge": {"id": "M9"}, "again": True}, "id: there is no gauge 'M9'."),
        (
            "setting made",
            {"setting": {"id": "S9", "gauge": "BG1", "size": "1 m", "master": "ZZ"}},
            "master: there is no gauge 'ZZ' in this file.",
        ),
        ("setting made", {"setting": {"id": "S9", "gauge": "BG1", "master": "M1"}}, "size: 'size' is missing"),
    ],
)
def test_a_gauge_or_setting_that_cannot_be(bench, kind, words, told):
    assert bench.refused(kind, **words)[0].startswith(told)


def test_a_limit_is_set_changed_and_struck(bench):
    own = {"fit": "wall clearance", "authority": "builder", "low": "0.06 mm", "high": "0.09 mm", "why": "his use"}
    before = len(bench.job.sheet.limit)
    bench.act("limit set", limit=own)
    bench.act("limit set", limit=own | {"low": "0.055 mm"})
    assert len(bench.job.sheet.limit) == before + 1
    assert (bench.job.sheet.limit[-1].by, bench.job.sheet.limit[-1].low_si) == ("Ann B.", pytest.approx(55e-6))
    bench.act("limit set", limit={"fit": "wall clearance", "authority": "builder"}, struck=True)
    assert len(bench.job.sheet.limit) == before
    assert bench.refused("limit set", limit=own, struck=True)[0].startswith(
        "limit: there is no limit of wall clearance by 'builder'"
    )


@pytest.mark.parametrize(
    ("limit", "told"),
    [
        (
            {"fit": "wal clearance", "authority": "builder"},
            "fit: there is no fit 'wal clearance'. Did you mean 'wall clearance'?",
        ),
        ({"fit": "wall clearance", "authority": "builder", "low": "0.06 mm"}, "why: a builder's own rule needs 'why'."),
        ({"fit": "wall clearance", "authority": "builder", "why": "x"}, "limit: the limit says nothing."),
        (
            {"fit": "wall clearance", "authority": "builder", "low": "0.09 mm", "high": "0.05 mm", "why": "x"},
            "low: low is not below high.",
        ),
    ],
)
def test_a_limit_that_cannot_be(bench, limit, told):
    assert bench.refused("limit set", limit=limit)[0].startswith(told)


def test_a_table_is_changed_by_its_names(bench):
    bench.act("sheet changed", table="duty", values={"boost": "22 psi", "oil_grade": ""})
    assert (bench.job.duty.oil_grade, bench.job.duty.boost_pa) == ("", pytest.approx(151684.66, rel=1e-6))
    text = bench.kept.texts()["job.toml"]
    assert 'boost = "22 psi"\n' in text
    assert "oil_grade" not in text
    assert "# INVENTED." in text
    bench.act("sheet changed", table="job", values={"customer": "Quay 2"})
    assert bench.job.sheet.customer == "Quay 2"


@pytest.mark.parametrize(
    ("table", "values", "told"),
    [
        ("engine", {"bore": "97 um"}, "bore: a bore of 97 um: did you mean 97 mm"),
        ("engine", {"bor": "97 mm"}, "bor: the name 'bor' is not known here."),
        ("engine", {"stroke": ""}, "stroke: 'stroke' is missing"),
        ("engine", {"bore": "97.25 mm"}, "values: nothing of it has changed."),
        ("engine", ["x"], "values: 'engine' is a table of names and values."),
        ("grinder", {"smallest": -1.0}, "smallest: the smallest step of the grinder is above 0."),
        ("job", {"format": "x"}, "format: the name 'format' is not known here. Possible: job, customer, invented."),
        ("job", {"invented": "maybe"}, "invented: 'maybe' stands here; true or false is wanted."),
        ("order", [{"part": "B1"}], "order 1, feature: 'feature' is missing"),
        ("motor", {"x": 1}, "table: 'motor' is no table that is changed so."),
    ],
)
def test_a_change_that_cannot_be(bench, table, values, told):
    assert bench.refused("sheet changed", table=table, values=values)[0].startswith(told)


ORDERS = [
    {"part": "B1", "feature": "bore", "work": "hone", "low": "97.30 mm", "shop": "Quay 2"},
    {"part": "B1", "feature": "bore", "at": "cylinder 2", "work": "hone", "low": "97.35 mm", "shop": "Quay 3"},
]


def listed(bench, table):
    """A list as a page draws it and as a browser sends it back."""
    return json.loads(json.dumps(plain(bench.job.sheet).get(table, [])))


def test_a_list_that_was_changed_meanwhile_is_not_written_over(bench):
    seen = listed(bench, "order")
    bench.act("sheet changed", table="order", values=[*seen, ORDERS[0]], was=seen)
    (told,) = bench.refused("sheet changed", table="order", values=[*seen, ORDERS[1]], was=seen)
    entries = f"{len(seen) + 1} {'entries' if seen else 'entry'}"
    assert told == (
        f"values: the list was changed by somebody after you looked at it: it has {entries} now. "
        "Nothing was written. Look at it as it is now, then do it again."
    )
    now = listed(bench, "order")
    body = bench.act("sheet changed", table="order", values=[*now, ORDERS[1]], was=now)
    assert set(body) == {"table", "values"}
    assert [order["shop"] for order in listed(bench, "order")[len(seen) :]] == ["Quay 2", "Quay 3"]


def test_what_is_compared_is_the_list_and_not_how_it_is_spaced(bench):
    steps = [{"key": "own: tray", "name": "Tray of small parts", "do": ["Sort", "Count"], "before": ["mock-up: parts"]}]
    bench.act("sheet changed", table="step", values=steps, was=[])
    bench.act("sheet changed", table="step", values=[], was=[{**steps[0], "do": [" Sort", "Count "], "why": None}])
    told = bench.refused("sheet changed", table="step", values=steps, was=steps)
    assert "it has 0 entries now" in told[0]
    bench.act("sheet changed", table="step", values=steps)  # nobody asked: a list sent whole, on purpose


def test_a_table_of_names_is_changed_by_its_names_and_has_no_base(bench):
    told = bench.refused("sheet changed", table="duty", values={"boost": "22 psi"}, was={"boost": "1 bar"})
    assert told == ["was: 'duty' is no list. Leave 'was' out: only what has changed is sent."]


def test_a_change_that_readings_do_not_allow_names_their_rows(bench):
    told = bench.refused(
        "sheet changed", table="engine", values={"cylinders": 3, "firing_order": [1, 3, 2], "mains": 4}
    )
    assert any(
        each.startswith("values: readings.csv, row r") and "this engine has no 'cylinder 4'" in each for each in told
    )
