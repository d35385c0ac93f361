"""The command for a repeatability study: what it prints, writes and refuses."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from blockwright.cli.main import app
from blockwright.cli.study import gauge_study, slot_line
from blockwright.problems import BlockwrightError

ROWS = {
    ("Ann", "P1"): ("86.012", "86.014", "86.013"),
    ("Ann", "P2"): ("86.022", "86.021", "86.023"),
    ("Ann", "P3"): ("86.005", "86.004", "86.006"),
    ("Bo", "P1"): ("86.010", "86.012", "86.011"),
    ("Bo", "P2"): ("86.020", "86.019", "86.021"),
    ("Bo", "P3"): ("86.003", "86.002", "86.004"),
}


@pytest.fixture
def study(tmp_path: Path) -> Path:
    """Every cell holds three readings 1 um apart, so all of it can be worked by hand.

    Repeats: s = 1 um with 12 dof. The interaction is nil (2 dof), so pooled s^2 = 12/14 um^2 with 14 dof. The hands' averages lie
    2 um apart: their mean square is 9 (1^2 + 1^2) = 18 um^2, and AV^2 = (18 - 12/14) / 9 um^2.
    """
    lines = [
        f"{hand},{part},{trial},{value}"
        for (hand, part), values in ROWS.items()
        for trial, value in enumerate(values, 1)
    ]
    path = tmp_path / "study.csv"
    path.write_text("appraiser,part,trial,value\n" + "\n".join(lines) + "\n", encoding="utf-8")
    return path


def run(*arguments: object) -> str:
    done = CliRunner().invoke(app, ["gauge-study", *map(str, arguments)], catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return done.stdout


def test_the_verdict_comes_first_and_the_register_last(study: Path) -> None:
    lines = run(study, "--unit", "mm").splitlines()
    assert lines[0].startswith("The gauge's own spread is ")
    assert lines[-4:-1] == ["Write this in gauges.toml:", '  repeatability = "0.00093 mm"', "  repeatability_dof = 14"]
    assert max(map(len, lines)) <= 80


def test_both_methods_stand_side_by_side(study: Path) -> None:
    [row] = [line.split() for line in run(study, "--unit", "mm").splitlines() if line.startswith("hand to hand")]
    assert row[:4] == ["hand", "to", "hand", "(AV)"]
    assert float(row[6]) == pytest.approx(((18 - 12 / 14) / 9) ** 0.5 * 1e-3, abs=6e-6)


def test_json_holds_si_and_the_table(study: Path) -> None:
    found = json.loads(run(study, "--unit", "mm", "--tolerance", "0.05 mm", "--json"))
    assert found["repeatability_m"] == pytest.approx((12 / 14) ** 0.5 * 1e-6, rel=1e-6)
    assert found["repeatability_dof"] == 14
    assert found["tolerance_m"] == pytest.approx(5e-5)
    assert found["methods"]["analysis of variance"]["av_m"] == pytest.approx(
        ((18 - 12 / 14) / 9) ** 0.5 * 1e-6, rel=1e-6
    )
    sources = [row["source"] for row in found["analysis_of_variance"]]
    assert sources == ["appraisers", "parts", "appraiser x part", "repeats", "pooled repeats", "total"]


def test_json_has_no_infinity(tmp_path: Path) -> None:
    path = tmp_path / "still.csv"
    path.write_text("appraiser,part,trial,value\nA,1,1,1\nA,1,2,1\nA,2,1,2\nA,2,2,2\n", encoding="utf-8")
    text = run(path, "--unit", "mm", "--json")
    assert "Infinity" not in text
    assert json.loads(text)["analysis_of_variance"][0] == {
        "source": "parts",
        "ss_m2": pytest.approx(1e-6),
        "dof": 1,
        "f": None,
        "p": 0.0,
    }


def test_nothing_is_offered_for_the_register_where_nothing_varies(tmp_path: Path) -> None:
    path = tmp_path / "still.csv"
    path.write_text("appraiser,part,trial,value\nA,1,1,1\nA,1,2,1\n", encoding="utf-8")
    said = run(path, "--unit", "mm")
    assert "No repeatability to write" in said
    assert "repeatability =" not in said


def test_the_picture_is_written(study: Path, tmp_path: Path) -> None:
    picture = tmp_path / "study.svg"
    run(study, "--unit", "mm", "--svg", picture)
    assert picture.read_text(encoding="utf-8").startswith("<svg ")


def test_a_picture_that_cannot_be_written(study: Path, tmp_path: Path) -> None:
    with pytest.raises(BlockwrightError, match="cannot be written"):
        gauge_study(study, unit="mm", svg=tmp_path / "none" / "study.svg")


def test_names_are_printed_as_they_are(study: Path) -> None:
    study.write_text(
        study.read_text(encoding="utf-8").replace("86.014", "86.044").replace("Ann", "[red]Ann"), encoding="utf-8"
    )
    assert "! [red]Ann on part P1: 0.0320 mm apart." in run(study, "--unit", "mm")


def test_a_tolerance_with_a_sign(study: Path) -> None:
    with pytest.raises(BlockwrightError):
        gauge_study(study, unit="mm", tolerance="-0.02")


def test_a_file_that_is_not_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A study is no job: nobody is sent to `blockwright new` for it, and the folder is told in words."""
    monkeypatch.chdir(tmp_path)
    for path, folder in ((Path("none.csv"), "this folder"), (tmp_path / "none.csv", str(tmp_path))):
        with pytest.raises(BlockwrightError) as caught:
            gauge_study(path, unit="mm")
        [found] = caught.value.problems
        assert found.what == f"there is no file none.csv in {folder}."
        assert found.mend == "Check its name and its folder."


def test_a_bad_file_is_the_callers_to_tell(study: Path) -> None:
    with pytest.raises(BlockwrightError, match="no unit"):
        gauge_study(study)


@pytest.mark.parametrize(("percent", "filled"), [(0, 1), (0.1, 1), (25, 12), (50, 24), (100, 48)])
@pytest.mark.parametrize("ascii", [False, True])
def test_the_pin_fills_its_share_of_the_slot(percent: float, filled: int, ascii: bool) -> None:
    line = slot_line(percent, ascii=ascii)
    assert (len(line), line[0] + line[-1]) == (50, "[]" if ascii else "┫┣")
    assert len(line[1:-1].strip()) == filled
    assert line.isascii() is ascii


def test_the_pin_says_its_grade_without_colour() -> None:
    assert [slot_line(percent, ascii=True).strip("[] ")[:1] for percent in (5, 20, 40)] == ["#", "?", "X"]


def test_a_pin_too_long_ends_in_points() -> None:
    assert slot_line(101, ascii=True) == f"<{'X' * 48}>"
