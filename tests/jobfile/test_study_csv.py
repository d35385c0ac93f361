"""Reading a study file: what is accepted, and what is said of each fault."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from blockwright.jobfile.study_csv import LARGEST_BYTES, MOST_PROBLEMS, StudyFile, read_study
from blockwright.problems import BlockwrightError, Problem

HEADER = "appraiser,part,trial,value\n"
GOOD = HEADER + "".join(
    f"{hand},{part},{trial},{value}\n"
    for hand, part, trial, value in (
        ("Ann", "P1", 1, "86.012"),
        ("Ann", "P1", 2, "86.013"),
        ("Ann", "P2", 1, "86.020"),
        ("Ann", "P2", 2, "86.021"),
        ("Bo", "P1", 1, "86.011"),
        ("Bo", "P1", 2, "86.010"),
        ("Bo", "P2", 1, "86.019"),
        ("Bo", "P2", 2, "86.022"),
    )
)
MILLIMETRES = [[[86.012, 86.013], [86.020, 86.021]], [[86.011, 86.010], [86.019, 86.022]]]


@pytest.fixture
def write(tmp_path: Path):
    def written(content: str | bytes) -> Path:
        path = tmp_path / "study.csv"
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return path

    return written


def problems(path: Path, **options: str) -> tuple[Problem, ...]:
    with pytest.raises(BlockwrightError) as caught:
        read_study(path, **options)
    return caught.value.problems


def only(path: Path, **options: str) -> Problem:
    found = problems(path, **options)
    assert len(found) == 1, found
    return found[0]


def is_good(study: StudyFile) -> bool:
    named = (study.readings.appraisers, study.readings.parts) == (("Ann", "Bo"), ("P1", "P2"))
    return named and np.allclose(study.readings.values_m, np.array(MILLIMETRES) * 1e-3, rtol=1e-14, atol=0)


class TestAccepted:
    def test_plain(self, write) -> None:
        study = read_study(write(GOOD), unit="mm")
        assert is_good(study)
        assert study.unit == "mm"

    @pytest.mark.parametrize(
        "content",
        [
            b"\xef\xbb\xbf" + GOOD.encode(),
            GOOD.replace("\n", "\r\n").encode(),
            GOOD.replace("\n", "\r").encode(),
            GOOD.rstrip("\n").encode(),
            GOOD.replace(",", ";").encode(),
            GOOD.replace(",", "\t").encode(),
            GOOD.replace(",", ";").replace(".", ",").encode(),
            GOOD.replace(",", " , ").encode(),
            GOOD.replace(",P", ',"P').replace(",1,", '",1,').replace(",2,", '",2,').encode(),
            GOOD.replace("\n", "\n\n").encode() + b",,,\n  \n",
            GOOD.replace("appraiser", "APPRAISER").replace("value", " Value ").encode(),
        ],
        ids=[
            "bom",
            "crlf",
            "cr",
            "no-end",
            "semicolons",
            "tabs",
            "decimal-commas",
            "spaces",
            "quotes",
            "blank-lines",
            "capitals",
        ],
    )
    def test_as_spreadsheets_write_it(self, write, content: bytes) -> None:
        assert is_good(read_study(write(content), unit="mm"))

    def test_lines_and_columns_in_any_order(self, write) -> None:
        lines = [line.split(",") for line in GOOD.splitlines()]
        turned = [",".join(reversed(line)) for line in [lines[0], *reversed(lines[1:])]]
        readings = read_study(write("\n".join(turned)), unit="mm").readings
        assert readings.appraisers == ("Bo", "Ann")
        assert readings.values_m[1, 1, 1] == pytest.approx(86.012e-3, rel=1e-14)

    def test_unit_of_the_value_before_the_column_before_the_callers(self, write) -> None:
        text = "appraiser,part,trial,value,unit\nA,1,1,1 in,mm\nA,1,2,25.4,mm\nA,1,3,1000,\n"
        study = read_study(write(text), unit="thou")
        assert study.readings.values_m.ravel() == pytest.approx([0.0254] * 3, rel=1e-14)
        assert study.unit == "in"

    def test_deviations_have_signs(self, write) -> None:
        text = HEADER + "A,1,1,+12 um\nA,1,2,-3 um\nA,1,3,\N{MINUS SIGN}4 um\n"
        assert read_study(write(text)).readings.values_m.ravel() == pytest.approx([12e-6, -3e-6, -4e-6], rel=1e-14)

    def test_inches_with_their_mark(self, write) -> None:
        study = read_study(write(HEADER + 'A,1,1,3.3860"\nA,1,2,"3.3862"""\n'))
        assert study.readings.values_m.ravel() == pytest.approx([3.3860 * 0.0254, 3.3862 * 0.0254], rel=1e-14)

    def test_one_part_and_one_appraiser(self, write) -> None:
        readings = read_study(write(HEADER + "A,1,a,2 mm\nA,1,b,3 mm\nA,1,c,4 mm\n")).readings
        assert readings.values_m.shape == (1, 1, 3)


class TestComma:
    """In a file parted by semicolons a comma is the decimal sign."""

    def test_three_places_after_the_comma(self, write) -> None:
        study = read_study(write("appraiser;part;trial;value\nA;1;1;86,012\nA;1;2;86,0\n"), unit="mm")
        assert study.readings.values_m.ravel() == pytest.approx([86.012e-3, 86e-3], rel=1e-14)

    def test_unquoted_in_a_file_parted_by_commas(self, write) -> None:
        found = problems(write(HEADER + "A,1,1,86,012,\nA,1,2,86,013,\n"), unit="mm")
        assert [problem.place.line for problem in found] == [2, 3]
        assert "decimal comma" in found[0].mend


class TestFile:
    """What the shared readers refuse comes through, with the file's name."""

    @pytest.mark.parametrize(
        ("content", "line"),
        [
            (GOOD.encode() + "Jörg,P1,1,86\n".encode("latin-1"), 10),
            (GOOD.encode("utf-16"), 0),
            (b"PK\x03\x04\x00\x00", 0),
            (b"\x00" * 50, 0),
            (b"", 1),
            (b"\n\n", 1),
            (b"\xef\xbb\xbf", 1),
            (b"x" * (LARGEST_BYTES + 1), 0),
        ],
        ids=["latin", "utf-16", "archive", "zeros", "empty", "blank", "bom-only", "too-large"],
    )
    def test_no_study(self, write, content: bytes, line: int) -> None:
        found = only(write(content), unit="mm")
        assert (found.place.file, found.place.line) == ("study.csv", line)
        assert found.what

    def test_none(self, tmp_path: Path) -> None:
        assert only(tmp_path / "nowhere.csv").place.file == "nowhere.csv"

    def test_a_folder(self, tmp_path: Path) -> None:
        assert "folder" in only(tmp_path).what

    def test_header_only(self, write) -> None:
        assert only(write(HEADER)).code == "study-empty"


class TestHeader:
    @pytest.mark.parametrize(
        ("header", "words"),
        [
            ("appraiser,value", ["'part' is missing", "'trial' is missing"]),
            ("apraiser,part,trial,value", ["no column 'apraiser'", "Did you mean 'appraiser'?"]),
            ("appraiser,part,trial,value,colour", ["no column 'colour'"]),
            ("appraiser,part,trial,value,value", ["'value' is there twice"]),
        ],
    )
    def test_columns(self, write, header: str, words: list[str]) -> None:
        said = "\n".join(map(str, problems(write(header + "\nA,1,1,2,3\n"))))
        assert all(word in said for word in words)
        assert "study.csv, line 1" in said


class TestLines:
    def test_every_bad_line_is_told_and_the_good_ones_are_read(self, write) -> None:
        text = HEADER + "A,1,1,nan\nA,1,2,86.01\nA,,3,86\nA,1,5,86 bar\nA,1,2,86.02\n,1,,86.0\nA,1,6,86,1,2\n"
        found = problems(write(text), unit="mm")
        assert [(p.place.line, p.place.field, p.code) for p in found] == [
            (2, "value", found[0].code),
            (4, "part", "study-cell-empty"),
            (5, "value", found[2].code),
            (6, "trial", "study-twice"),
            (7, "appraiser", "study-cell-empty"),
            (7, "trial", "study-cell-empty"),
            (8, "", "table-cells"),
        ]
        assert found[0].code.startswith("quantity-")
        assert found[2].code.startswith("quantity-")
        assert all(problem.mend and problem.place.file == "study.csv" for problem in found)

    def test_a_quote_left_open_is_not_taken_for_a_missing_reading(self, write) -> None:
        found = only(write(GOOD.replace("Bo,P1,1", '"Bo,P1,1')), unit="mm")
        assert found.place.line == 6

    @pytest.mark.parametrize("value", ["nan", "inf", "-inf", "1e999", "thick", "=A1", "1/0"])
    def test_no_number(self, write, value: str) -> None:
        found = only(write(HEADER + f"A,1,1,{value}\nA,1,2,86\n"), unit="mm")
        assert (found.place.line, found.place.field) == (2, "value")

    def test_no_unit(self, write) -> None:
        found = only(write(HEADER + "A,1,1,86.01 mm\nA,1,2,86.02\n"))
        assert (found.code, found.place.line) == ("quantity-no-unit", 3)

    def test_no_unit_in_any_row_is_told_once(self, write) -> None:
        found = only(write(GOOD))
        assert (found.code, found.place.line, found.place.field) == ("quantity-no-unit", 2, "value")
        assert found.what == "says 86.012 and no unit. 8 rows are without, the last on line 9."
        assert "--unit" in found.mend

    def test_units_missing_here_and_there_are_counted(self, write) -> None:
        """Three of eight rows, beside another fault that keeps its own line."""
        text = GOOD.replace("\n", " mm\n").replace("value mm", "value")
        for value in ("86.013", "86.021", "86.011"):
            text = text.replace(f"{value} mm", value)
        no_unit, wrong = problems(write(text.replace("86.022 mm", "wide")))
        assert (no_unit.place.line, wrong.place.line) == (3, 9)
        assert "3 rows are without, the last on line 6." in no_unit.what
        assert "'wide'" in wrong.what

    def test_a_unit_unknown_in_every_row_is_told_once(self, write) -> None:
        text = GOOD.replace("value", "value,unit").replace("\n", ",furlongs\n").replace("unit,furlongs", "unit")
        found = only(write(text))
        assert "8 rows are so, the last on line 9." in found.what
        assert "'furlongs'" in found.what

    def test_values_wrong_in_their_own_ways_are_told_apart(self, write) -> None:
        found = problems(write(GOOD.replace("86.012", "wide").replace("86.020", "wider")), unit="mm")
        assert [problem.place.line for problem in found] == [2, 4]

    def test_a_reading_twice_names_the_first(self, write) -> None:
        found = only(write(GOOD + "Ann,P2,2,86.0\n"), unit="mm")
        assert (found.code, found.place.line) == ("study-twice", 10)
        assert found.what == "Ann, part P2, trial 2 stands already on line 5."

    def test_signs_that_do_not_print(self, write) -> None:
        found = only(write(GOOD.replace("Bo,P1,1", "Bo\x1b[2J,P1,1")), unit="mm")
        assert (found.code, found.place.field) == ("study-cell-signs", "appraiser")
        assert str(found).isprintable()

    def test_a_long_name(self, write) -> None:
        found = only(write(GOOD.replace("Bo,P1,1", "B" * 61 + ",P1,1")), unit="mm")
        assert found.what == "It is 61 signs long."

    def test_a_cell_beyond_all_bounds(self, write) -> None:
        assert problems(write(HEADER + "A,1,1," + "9" * 200_000 + "\n"), unit="mm")

    def test_a_single_trial(self, write) -> None:
        assert only(write(HEADER + "A,1,1,86\nA,2,1,86\n"), unit="mm").code == "study-one-trial"


class TestUnbalanced:
    def test_the_missing_readings_are_named(self, write) -> None:
        text = GOOD.replace("Bo,P1,2,86.010\n", "").replace("Ann,P2,1,86.020\n", "")
        found = problems(write(text), unit="mm")
        assert [problem.what for problem in found] == [
            "Ann has no trial 1 of part P2.",
            "Bo has no trial 2 of part P1.",
        ]

    def test_a_missing_cell(self, write) -> None:
        text = GOOD.replace("Bo,P1,2,86.010\n", "").replace("Bo,P1,1,86.011\n", "")
        assert {problem.what for problem in problems(write(text), unit="mm")} == {
            "Bo has no trial 1 of part P1.",
            "Bo has no trial 2 of part P1.",
        }

    def test_very_many_missing_are_counted(self, write) -> None:
        lines = "".join(f"h{i},p{i},{i},1\n" for i in range(300))
        found = problems(write(HEADER + lines), unit="mm")
        assert len(found) == MOST_PROBLEMS + 1
        assert found[-1].what == f"{300**3 - 300 - MOST_PROBLEMS} more readings are missing."

    def test_very_many_problems_are_counted(self, write) -> None:
        found = problems(write(HEADER + "A,1,1,x\n" * 500), unit="mm")
        assert len(found) == MOST_PROBLEMS + 1
        assert found[-1].what.startswith("400 more problems")


def test_an_unknown_unit_is_told_once(write) -> None:
    assert only(write(GOOD), unit="furlongs").code.startswith("quantity-")


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.one_of(
        st.binary(max_size=300),
        st.text(alphabet='A1,;.\n"\tmap±-\x00é =', max_size=300).map(lambda t: (HEADER + t).encode()),
    )
)
def test_whatever_is_in_the_file_is_read_or_refused(write, content: bytes) -> None:
    path = write(content)
    try:
        study = read_study(path, unit="mm")
    except BlockwrightError:
        found = problems(path, unit="mm")
        assert found
        assert all(problem.what and problem.place.file == "study.csv" for problem in found)
    else:
        assert np.isfinite(study.readings.values_m).all()
