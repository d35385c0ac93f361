"""`blockwright reckon`: the list, one formula told, one worked out; wrong words always answered in words."""

from __future__ import annotations

import json
import re
import shlex
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from rich.cells import cell_len

from blockwright.engine.positions import Place, Position
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.folder import read_folder
from blockwright.report.formulas.described import described
from blockwright.report.formulas.table import FORMULAS, Group
from blockwright.running.assess import judge
from blockwright.running.wall_heat import hot_wall

GAP = ("hot-ring-gap", "gap-cold=0.4 mm", "bore=86 mm", "bore-expansion=11 um/m/K", "ring-expansion=11 um/m/K", "bore-temperature=120",
       "ring-temperature=220 °C")  # fmt: skip


def flat(text: str) -> str:
    return " ".join(text.split())


def narrow(out: str) -> None:
    assert max(map(cell_len, out.splitlines())) <= 80, out


def refused(done: object, *parts: str) -> None:
    assert (done.code, done.out) == (2, ""), done
    assert "Traceback" not in done.err
    for part in parts:
        assert part in flat(done.err), done.err


def test_every_formula_is_listed_under_what_it_serves(give: Callable) -> None:
    done = give("reckon")
    assert done.code == 0
    narrow(done.out)
    assert [line for line in done.out.splitlines() if line.isupper() and line[0] != " "] == [
        group.upper() for group in Group
    ]
    assert all(f"\n  {each.slug} " in done.out for each in FORMULAS)


def test_help_keeps_to_80_columns(give: Callable) -> None:
    narrow(give("reckon", "--help").out)


def test_one_group_alone(give: Callable) -> None:
    out = give("reckon", "crank and rod").out
    assert "rod-bolt-load" in out
    assert "hot-ring-gap" not in out


@pytest.mark.parametrize("slug", [each.slug for each in FORMULAS])
def test_each_is_told_in_80_columns(give: Callable, slug: str) -> None:
    done = give("reckon", slug)
    assert done.code == 0, done.err
    narrow("\n".join(line for line in done.out.splitlines() if ">>>" not in line))
    formula = described(next(each for each in FORMULAS if each.slug == slug))
    for one in formula.inputs:
        assert re.search(rf"^  {re.escape(one.key)} ", done.out, re.MULTILINE)
    assert "Source" in done.out


def test_what_is_told_of_one(give: Callable) -> None:
    said = flat(give("reckon", "hot", "ring", "gap").out)
    for part in (
        "End gap of a hot ring in its hot bore, m",
        "gap-cold (s, m) End gap in this bore at 20 °C, m, nil to a tenth of the bore.",
        "bore-temperature (T, °C) Mean temperatures of bore wall and ring, °C.",
        "s_hot = pi D (1 + a_b (T_b - 20)) - (pi D - s)(1 + a_r (T_r - 20))",
        "Not validated: no published number was found.",
        "serves top end gap, second end gap",
    ):
        assert part in said, part
    assert "poisson (nu, plain, 0.33 unless given)" in flat(give("reckon", "land-bending").out)


def test_one_worked_out_by_hand(give: Callable) -> None:
    """pi × 86 × (1 + 11e-6 × 100) - (pi × 86 - 0.4)(1 + 11e-6 × 200) = 270.47416 - 270.37048 = 0.1037 mm, with inputs repeated."""
    done = give("reckon", *GAP)
    assert done.code == 0, done.err
    name, value, unit = done.out.splitlines()[0].rsplit(maxsplit=2)
    assert (name, unit) == ("Hot ring gap", "mm")
    assert float(value) == pytest.approx(0.1037, abs=5e-5)
    said = flat(done.out)
    for part in (
        "gap-cold 0.4 mm",
        "bore 86 mm",
        "ring-expansion 11 um/m/K",
        "bore-temperature 120",
        "ring-temperature 220 °C",
    ):
        assert part in said
    narrow(done.out)


def test_a_short_name_of_an_input_will_do_where_it_can_mean_one_only(give: Callable) -> None:
    assert (
        give("reckon", *(word.replace("gap-cold", "gap") for word in GAP)).out.splitlines()[0]
        == give("reckon", *GAP).out.splitlines()[0]
    )
    refused(
        give("reckon", *(word.replace("bore-temperature", "temperature") for word in GAP)),
        "could be bore-temperature or ring-temperature",
    )


@pytest.mark.parametrize(("unit", "scale"), [("mm", 1e3), ("um", 1e6), ("thou", 1 / 25.4e-6), ("in", 1 / 0.0254)])
def test_the_result_in_the_unit_asked_for(give: Callable, unit: str, scale: float) -> None:
    value = json.loads(give("reckon", *GAP, "--json").out)["results"][0]["value"]
    first = give("reckon", *GAP, "--unit", unit).out.splitlines()[0].split()
    assert first[-1] == unit
    assert float(first[-2]) == pytest.approx(value * scale, rel=1e-5)


def test_json_in_si(give: Callable) -> None:
    told = json.loads(give("reckon", *GAP, "--json").out)
    assert (told["name"], told["function"], told["group"]) == ("hot ring gap", "physics.expansion.hot_gap_m", "rings")
    assert told["inputs"][0] == {"name": "gap-cold", "value": 0.0004, "unit": "m", "text": "0.4 mm"}
    assert [each["unit"] for each in told["inputs"]] == ["m", "m", "1/K", "1/K", "°C", "°C"]
    assert told["results"] == [{"name": "hot ring gap", "value": pytest.approx(1.037e-4, rel=1e-3), "unit": "m"}]
    assert "published number" in told["checked"]
    assert "s_hot" in told["formula"]


def test_json_of_the_list_and_of_a_formula(give: Callable) -> None:
    assert len(json.loads(give("reckon", "--json").out)["formulas"]) == len(FORMULAS)
    told = json.loads(give("reckon", "land-bending", "--json").out)
    by_name = {each["name"]: each for each in told["inputs"]}
    assert (by_name["poisson"]["needed"], by_name["poisson"]["default"]) == (False, 0.33)
    assert by_name["thickness"]["needed"]


PUBLISHED = [
    # ISO 286-2:2010, tables of limit deviations: H7 +25/0 and g6 -9/-25 µm over 30 mm up to 50 mm
    (("limits-of-size", "nominal=50 mm", "tolerance-class=H7"), (0.050, 0.050025), 1e-9),
    (("limits-of-size", "nominal=50 mm", "class=g6"), (0.049975, 0.049991), 1e-9),
    # ASTM D2270-10 (2016), worked example: 73.30 and 8.86 mm²/s, index 92
    (("viscosity-index", "viscosity-at-40=73.30 mm2/s", "viscosity-at-100=8.86 cSt"), (92.0,), 0.5 / 92),
    # NACA Report 1135, 1953, table I, M 1: p/p0 0.5283, T/T0 0.8333
    (("choking-pressure-ratio", "gamma=1.4"), (0.5283,), 0.00005 / 0.5283),
    (("choking-temperature-ratio", "gamma=1.4"), (0.8333,), 0.00005 / 0.8333),
    # R. S. Khurmi, J. K. Gupta, Theory of Machines, 2005, example 15.5: 4.19 m/s by a series of two terms (exact motion to 0.3 %)
    (("pin-speed", "angle=40 deg", "speed=180 rpm", "throw=300 mm", "rod=1500 mm"), (-4.19,), 0.005),
    # H. N. Gupta, Fundamentals of Internal Combustion Engines, 2006, example 16.1: 86.0 mm stroke, 3000 rev/min, 8.60 m/s
    (("mean-piston-speed", "speed=3000 rpm", "stroke-of=86.0 mm"), (8.60,), 0.005 / 8.60),
]


@pytest.mark.parametrize(("words", "printed", "rel"), PUBLISHED, ids=[words[0] for words, _, _ in PUBLISHED])
def test_printed_values_through_the_command(
    give: Callable, words: tuple[str, ...], printed: tuple[float, ...], rel: float
) -> None:
    done = give("reckon", *words, "--json")
    assert done.code == 0, done.err
    assert [each["value"] for each in json.loads(done.out)["results"]] == pytest.approx(list(printed), rel=rel)


def test_shigleys_bearing_through_the_command(give: Callable) -> None:
    """J. E. Shigley, C. R. Mischke, R. G. Budynas, Mechanical Engineering Design, 2004, examples 12-1 to 12-4: S 0.135, l/d 1.

    Answers are read off charts by the authors: 3 %. Film 0.42 of the clearance, attitude 53°.
    """
    so = 1 / (2 * 3.141592653589793 * 0.135)
    told = json.loads(
        give("reckon", "steady-bearing-under-a-load", f"sommerfeld={so:.12f}", "width-ratio=1", "--json").out
    )
    found = {each["name"]: each["value"] for each in told["results"]}
    assert 1 - found["eccentricity"] == pytest.approx(0.00063 / 0.0015, rel=0.03)
    assert found["attitude"] == pytest.approx(53 * 3.141592653589793 / 180, rel=0.03)
    assert found["raimondi boyd"] == pytest.approx(0.135, rel=1e-6)


@pytest.mark.parametrize(("words", "parts"), [
    (("hot-gap",), ("there is no formula 'hot-gap'", "Did you mean 'hot-ring-gap'?")),
    (("xyzzy",), ("there is no formula 'xyzzy'", "See 'blockwright reckon'")),
    (("bore=86 mm",), ("'bore=86 mm' is given, and no formula is named.",)),
    (GAP[:2], ("bore, bore-expansion, ring-expansion, bore-temperature, ring-temperature are missing.",)),
    ((*GAP[:-1], "ring-temp=220"), ("ring-temperature is missing.", "there is no input 'ring-temp'", "Did you mean ring-temperature?")),
    ((*GAP, "bore=87 mm"), ("bore: it is given twice.",)),
    ((*GAP[:2], "bore=86", *GAP[3:]), ("bore: says 86 and no unit.", "86 mm")),
    ((*GAP[:2], "bore=86 Nm", *GAP[3:]), ("bore: 'Nm' is a unit of torque; a length is wanted.",)),
    ((*GAP[:2], "bore=86 mil", *GAP[3:]), ("'mil' is a thousandth of an inch in some shops",)),
    ((*GAP[:2], "bore=86 m", *GAP[3:]), ("bore diameter: 86 m is outside", "the range this formula is kept to.")),
    ((*GAP, "--unit", "Nm"), ("'Nm' is a unit of torque; a length is wanted.",)),
    ((*GAP, "--unit", "furlong"), ("'furlong' is no unit of length",)),
    (("pin-acceleration", "angle=0 deg", "speed=6000 rpm", "throw=45 mm", "rod=150 mm", "--unit", "g"), ("m/s2 only",)),
    (("limits-of-size", "nominal=50 mm", "tolerance-class=Z99"), ("letter Z is not held",)),
    (("hot-fatigue-strength", "alloy=cheese", "temperature=200"), ("cheese",)),
    (("short-bearing-attitude", "eccentricity=2"), ("these numbers give no result.",)),
    (("bearing-friction", "sommerfeld=0", "eccentricity=0.5", "attitude=0.5 rad"), ("these numbers give no result.",)),
    (("gas-heat-ratio", "gas=oil", "temperature=300 K"), ("'oil' is none of the choices", "air or burnt gas")),
])  # fmt: skip
def test_wrong_words_are_answered_in_words(give: Callable, words: tuple[str, ...], parts: tuple[str, ...]) -> None:
    refused(give("reckon", *words), *parts)


def test_what_was_typed_is_not_echoed_whole(give: Callable) -> None:
    odd = "\x1b[31m" + "x" * 2000
    for words in ((odd,), ("hot-ring-gap", f"{odd}=1"), ("hot-ring-gap", f"bore={odd}"), (*GAP, "--unit", odd)):
        done = give("reckon", *words)
        assert done.code == 2
        assert "\x1b" not in done.err
        assert max(len(word) for word in done.err.split()) < 300


def test_listing_loads_no_physics() -> None:
    asked = (
        "import sys; sys.argv = ['blockwright', 'reckon']\nfrom blockwright.cli.main import app\n"
        "try:\n    app()\nexcept SystemExit:\n    pass\n"
        "print('loaded', *(name for name in sys.modules if name in ('scipy', 'numba', 'django') or name.startswith('blockwright.physics.')))"
    )
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert done.stdout.rpartition("loaded")[2].split() == []


def test_a_formula_loads_only_what_it_needs() -> None:
    asked = (
        f"import sys; sys.argv = ['blockwright', 'reckon', *{GAP!r}]\nfrom blockwright.cli.main import app\n"
        "try:\n    app()\nexcept SystemExit:\n    pass\n"
        "print('loaded', *(name for name in sys.modules if name in ('scipy', 'numba', 'django')))"
    )
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert done.stdout.rpartition("loaded")[2].split() == []


def test_explain_names_the_formulas_and_gives_a_command_that_agrees(give: Callable, harbour: Path) -> None:
    """The hot clearance that the assessment works out, reckoned again by the command that the story prints."""
    done = give("explain", harbour, "wall clearance", "4")
    assert "reckon hot-wall-clearance, cold-wall-clearance" in flat(done.out)
    command = flat(done.out[done.out.index("blockwright reckon") :].partition("\n  bore 4")[0].replace("\\\n", " "))
    assert command.startswith("blockwright reckon hot-wall-clearance bore=")
    reckoned = json.loads(give(*shlex.split(command)[1:], "--json").out)["results"][0]
    job = read_folder(harbour).job
    position = Position(Place.CYLINDER, "4")
    found = judge(job, REGISTRY["wall clearance"], position).found
    assert found is not None
    rounding_m = 1e-9  # bore and skirt are written to eight digits
    assert reckoned["value"] == pytest.approx(hot_wall(job, position, found).clearance.value, abs=rounding_m)
    told = json.loads(give("explain", harbour, "wall clearance", "4", "--json").out)
    assert told["formulas"][0] == "hot wall clearance"


def test_a_fit_whose_numbers_are_not_all_known_has_names_alone(give: Callable, harbour: Path) -> None:
    out = give("explain", harbour, "main film", "3").out
    assert "steady-bearing" in out
    assert "blockwright reckon" not in out
    assert "\n  reckon " not in give("explain", harbour, "crank end float").out
