"""Faults of readings.csv, passes.csv and record.csv: one clear message each, with its line, its column and the mend."""

import pytest

READINGS, RECORD, PASSES = "readings.csv", "record.csv", "passes.csv"
R1 = "r1,B1,bore,cylinder 1,top thrust,,-8,um,BG1,S1,bores 1,plate off,21.5 °C,,"
SKIRT = "r26,P1,skirt,,,,97.131,mm,M1,,pistons"
GAP = "r69,R1,top gap"
PASS_HEADER = "id,rings,ring,at,wheel,taken,counted_in,gap,unit,gauge,depth,ring_temp\n"
PASS = "p1,R1,top,cylinder 1,W1,0,turns,0.40 to 0.45 mm,,FB2,25 mm,20 °C\n"

# in the row of words: what is written for what, the column, words of what is wrong and of the mend
FAULTS = {
    "no id": (R1, "r1,", ",", "id", "the row has no id", "r1, r2"),
    "an id twice": ("r2,B1", "r2,", "r1,", "id", "'r1' stands already in line 2", "its own"),
    "no part": (R1, ",B1,", ",,", "part", "does not say which part", "B1"),
    "an unknown part": (SKIRT, "P1", "P7", "part", "no part bears the mark 'P7'", "Possible: P1, P2, P3, P4"),
    "a part in small letters": (SKIRT, "P1", "p1", "part", "no part bears the mark 'p1'", "Did you mean 'P1'?"),
    "another kind of part": (SKIRT, "P1", "K1", "feature", "K1 is a crank, and skirt belongs to a piston", "Mend"),
    "no feature": (SKIRT, "skirt", "", "feature", "there is no feature ''", "Some that are known"),
    "an unknown feature": (SKIRT, "skirt", "skrit", "feature", "no feature 'skrit'", "'skirt'?"),
    "no position": (R1, "cylinder 1", "", "at", "does not say which cylinder", "cylinder 1, cylinder 2"),
    "an unknown position": (R1, "cylinder 1", "cylinder 5", "at", "no 'cylinder 5' for bore", "Possible: cylinder 1"),
    "another kind of position": (R1, "cylinder 1", "main 1", "at", "no 'main 1' for bore", "'cylinder 1'?"),
    "half a position": (R1, "cylinder 1", "3", "at", "no '3' for bore", "'cylinder 3'?"),
    "a position for nothing": (SKIRT, "skirt,", "skirt,cylinder 1", "at", "skirt is not read at a position", "blank"),
    "no spot": (R1, "top thrust", "", "spot", "does not say at which spot", "top thrust, top axial"),
    "an unknown spot": (R1, "top thrust", "top thurst", "spot", "bore has no spot 'top thurst'", "'top thrust'?"),
    "a spot for nothing": (SKIRT, "skirt,,", "skirt,,front", "spot", "read at one spot only", "blank"),
    "a depth for nothing": (R1, "top thrust,", "top thrust,20 mm", "depth", "bore is not read at a depth", "spot"),
    "a depth without unit": (GAP, "30 mm", "30", "depth", "no unit", "30 mm"),
    "a depth of half a metre": (GAP, "30 mm", "30 in", "depth", "a depth of 30 in: did you mean", "is expected"),
    "no unit": (SKIRT, ",mm,", ",,", "value", "says 97.131 and no unit", "97.131 mm"),
    "an unknown unit": (SKIRT, ",mm,", ",mn,", "unit", "'mn' is no unit of length", "in mm"),
    "a unit of another kind": (SKIRT, ",mm,", ",Nm,", "unit", "unit of torque", "in mm"),
    "a size for a deviation": (R1, "-8,um", "97.253,um", "value", "97.253 um: did you mean 97.253 mm, the size itself?", "+97.253"),
    "no number": (SKIRT, "97.131", "tight", "value", "'tight' does not begin with a number", "number and its unit"),
    "not a number": (SKIRT, "97.131", "nan", "value", "does not begin with a number", "number"),
    "endless": (SKIRT, "97.131", "inf", "value", "does not begin with a number", "number"),
    "past all numbers": (SKIRT, "97.131", "1e999", "value", "no size that can be measured", "digits"),
    "a sign for a size": (SKIRT, "97.131", "-97.131", "value", "has a sign", "without"),
    "a digit lost": (SKIRT, "97.131", "9.7131", "value", "a skirt of 9.7131 mm: did you mean 9.7131 cm (97.131 mm)", "is expected"),
    "inches for mm": (SKIRT, "97.131", "3.8241", "value", "did you mean 3.8241 in (97.132 mm)", "is expected"),
    "thousands or thousandths": (SKIRT, "97.131", '"97,131"', "value", "97.131 or as 97131", "without the comma"),
    "a deviation of mm for um": (R1, "-8,um", "-8,mm", "value", "a bore of -8 mm: did you mean -8 um", "-2 to 2 mm"),
    "no gauge": (SKIRT, "M1", "", "gauge", "does not say which gauge", "M1, M2"),
    "an unknown gauge": (SKIRT, "M1", "M9", "gauge", "no gauge 'M9' in gauges.toml", "The gauges are: M1"),
    "a gauge of another kind": (SKIRT, "M1", "TW1", "gauge", "TW1 measures torque, and skirt is a length", "another gauge"),
    "a comparator without setting": (R1, "S1", "", "setting", "the row does not say what it was set on", "Settings of BG1: S1"),
    "an unknown setting": (R1, "S1", "S11", "setting", "no setting 'S11' in gauges.toml", "'S1'?"),
    "a setting of another gauge": (R1, "S1", "S4", "setting", "S4 was made on gauge BG2, not on BG1", "Mend"),
    "a setting of another size": (R1, "S1", "S3", "setting", "S3 is 57.000 mm, and a bore of 93.360 mm to 101.140 mm", "Name the setting"),
    "a setting for a micrometer": (SKIRT, "M1,", "M1,S1", "setting", "M1 is not set on anything", "blank"),
    "a blade alone": (GAP, "25 to 26", "25", "value", "one blade alone gives no size", "0.40 to 0.45 mm"),
    "blades upside down": (GAP, "25 to 26", "26 to 25", "value", "runs from large to small", "smaller size first"),
    "the same blade twice": (GAP, "25 to 26", "25 to 25", "value", "runs from large to small", "smaller size first"),
    "an unknown state": (R1, "plate off", "plate of", "state", "'plate of' is no state", "'plate off'?"),
    "a state against itself": (R1, "plate off", "plate off; plate on", "state", "says both 'plate on' and 'plate off'", "Keep"),
    "a temperature in words": (R1, "21.5 °C", "warm", "part_temp", "'warm' does not begin with a number", "number"),
    "a temperature without its scale": (R1, "21.5 °C", "71", "part_temp", "a part temperature of 71 °C: did you mean 71 °F", "-10 to 60 °C"),
    "colder than cold": (R1, "21.5 °C", "-300", "part_temp", "below absolute zero", "Check"),
    "no such day": (R1, "", "", "when", "'5.10.2026' is no date", "2026-03-31"),
}  # fmt: skip


def spoil(harbour, file: str, words: str, old: str, new: str) -> int:
    """Spoil the first row with `words` in it; its line."""
    line = harbour.line(file, words)
    rows = harbour.text(file).split("\n")
    assert old in rows[line - 1]
    rows[line - 1] = rows[line - 1].replace(old, new, 1)
    harbour.write(file, "\n".join(rows))
    return line


@pytest.mark.parametrize("fault", FAULTS.values(), ids=FAULTS)
def test_a_fault_in_the_readings(harbour, fault) -> None:
    words, old, new, column, what, mend = fault
    if column == "when":
        old, new = "2026-10-05", "5.10.2026"
    line = spoil(harbour, READINGS, words, old, new)
    found = harbour.only()
    assert (found.place.file, found.place.line, found.place.field) == (READINGS, line, column)
    assert what in found.what
    assert mend in found.mend


def test_the_end_that_is_missing(harbour) -> None:
    """A file cut off within its last row."""
    text = harbour.text(READINGS)
    harbour.write(READINGS, text[: text.rindex("Quill") - 30])
    found = harbour.only()
    assert (found.code, found.place.line) == ("table-cut", text.count("\n"))
    assert "ends in the middle of this row" in found.what


def test_the_line_end_may_be_missing(demo) -> None:
    before = demo.job()
    for file in demo.bytes():
        demo.write(file, demo.text(file).rstrip("\n"))
    assert demo.job() == before


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_an_open_quote_hides_no_other_row(harbour, end) -> None:
    harbour.write(READINGS, harbour.text(READINGS).replace("\n", end))
    quoted = spoil(harbour, READINGS, "r26,", "97.131", '"97.131')
    unknown = spoil(harbour, READINGS, "r40,", ",um,", ",un,")
    found = harbour.refused()
    assert [(problem.code, problem.place.line) for problem in found] == [
        ("table-quotes", quoted),
        ("quantity-unit-unknown", unknown),
    ]


def test_a_quote_in_the_wrong_place(harbour) -> None:
    line = spoil(harbour, READINGS, "r26,", "97.131", '"97".131')
    found = harbour.only()
    assert (found.code, found.place.line) == ("table-quotes", line)


def test_too_many_cells(harbour) -> None:
    line = spoil(harbour, READINGS, "r26,", ",mm,", ",mm,what, is, this,")
    found = harbour.only()
    assert (found.code, found.place.line) == ("table-cells", line)
    assert "22 cells, and the header has 19" in found.what
    assert "double quotes" in found.mend


def test_blank_cells_too_many_are_let_pass(demo) -> None:
    before = demo.job()
    demo.write(READINGS, demo.text(READINGS).replace("\n", ",,,\n"))
    assert demo.job() == before


def test_blank_lines_are_let_pass(demo) -> None:
    before = demo.job()
    demo.write(READINGS, demo.text(READINGS).replace("\n", "\n\n,,,,\n"))
    assert demo.job() == before


@pytest.mark.parametrize(
    ("old", "new", "what", "mend"),
    [
        ("id,part,", "id,prat,", "no column 'prat'", "Did you mean 'part'?"),
        ("id,part,", "id,", "the column 'part' is missing", "The columns are"),
        ("withdrawn,note", "withdrawn,part", "the column 'part' is there twice", "Keep one"),
        ("withdrawn,note", "withdrawn,colour", "no column 'colour'", "The columns are"),
        ("id,part,feature,at", "r1,B1,bore,cylinder 1", "no column 'r1'", ""),
    ],
)
def test_a_header_that_cannot_be_used(harbour, old, new, what, mend) -> None:
    harbour.change(READINGS, old, new)
    found = harbour.refused()
    assert {(problem.place.file, problem.place.line) for problem in found} == {(READINGS, 1)}
    assert what in found[0].what
    assert mend in found[0].mend
    assert len(found) == 1 or "r1" in new


def test_no_header_at_all(harbour) -> None:
    harbour.write(READINGS, harbour.text(READINGS).partition("\n")[2])
    assert "does not name the columns" in harbour.only().what


def test_a_cell_beyond_all_bounds(harbour) -> None:
    line = spoil(harbour, READINGS, "r26,", "pistons", "x" * 200_000)
    found = harbour.only()
    assert (found.code, found.place.line) == ("table-long", line)


def test_a_long_note(harbour) -> None:
    line = spoil(harbour, READINGS, "r1,", "2026-10-05,,", "2026-10-05,," + "x" * 10_001)
    found = harbour.only()
    assert (found.place.line, found.place.field) == (line, "note")
    assert "10001 letters" in found.what


def test_signs_that_do_not_print(harbour) -> None:
    line = spoil(harbour, READINGS, "r1,", "2026-10-05,,", "2026-10-05,,\x1b[2J")
    found = harbour.only()
    assert (found.code, found.place.line, found.place.field) == ("table-signs", line, "note")


def test_capitals_and_gaps_are_forgiven(harbour) -> None:
    before = harbour.job()
    spoil(harbour, READINGS, "r1,", "bore,cylinder 1,top thrust", "Bore,Cylinder  1 ,\u00a0Top  thrust")
    assert harbour.job() == before


class TestWithdrawn:
    """A withdrawn row stays, with its reason; what is wrong with its value is why it was withdrawn."""

    @pytest.mark.parametrize("value", ["3.437 mm", "97.2S3", "-97.131", "97.131"])
    def test_its_value_is_not_told(self, harbour, value) -> None:
        line = spoil(harbour, READINGS, SKIRT, "97.131,mm", f"{value},")
        spoil(harbour, READINGS, "r26,", "2026-10-05,,", "2026-10-05,misread,")
        reading = next(each for each in harbour.job().readings if each.id == "r26")
        assert (reading.text, reading.withdrawn, reading.taken, reading.place.line) == (value, "misread", False, line)

    @pytest.mark.parametrize(("old", "new", "column"), [("P1", "P9", "part"), ("skirt", "skrit", "feature")])
    def test_what_it_was_is_told(self, harbour, old, new, column) -> None:
        spoil(harbour, READINGS, SKIRT, old, new)
        spoil(harbour, READINGS, "r26,", "2026-10-05,,", "2026-10-05,misread,")
        assert harbour.only().place.field == column


class TestInheriting:
    def test_two_states_in_a_sitting(self, harbour) -> None:
        spoil(harbour, READINGS, "r2,", "bores 1,,", "bores 1,plate on,")
        found = harbour.refused()
        assert {(problem.code, problem.place.field) for problem in found} == {("inherit-ambiguous", "state")}
        assert [problem.place.line for problem in found] == [4, 5, 6, 7]
        assert "for sitting 'bores 1' and part 'B1' other rows say 'plate off' and 'plate on'" in found[0].what

    def test_the_same_in_other_words_is_no_contradiction(self, harbour) -> None:
        before = harbour.job()
        spoil(harbour, READINGS, "r2,", "bores 1,,,", "bores 1,Plate  Off,70.7 °F,")
        after = harbour.job()
        assert [reading.state for reading in after.readings] == [reading.state for reading in before.readings]

    def test_a_fault_is_told_where_it_was_written(self, harbour) -> None:
        line = spoil(harbour, READINGS, "r1,", "21.5 °C", "71")
        assert harbour.only().place.line == line

    def test_a_row_without_value_is_not_asked(self, harbour) -> None:
        spoil(harbour, READINGS, "r2,", "bores 1,,", "bores 1,plate on,")
        for number in range(3, 7):
            spoil(harbour, READINGS, f"r{number},", "um", "")
            rows = harbour.text(READINGS).split("\n")
            cells = rows[number].split(",")
            rows[number] = ",".join([*cells[:6], "", *cells[7:]])
            harbour.write(READINGS, "\n".join(rows))
        assert [reading.state for reading in harbour.job().readings[2:6]] == [None] * 4

    def test_not_known_takes_nothing(self, harbour) -> None:
        spoil(harbour, READINGS, "r2,", "bores 1,,,", "bores 1,not known,not known,")
        first, second, third, *_ = harbour.job().readings
        assert (second.state, second.part_temp_c) == (None, None)
        assert (third.state, third.part_temp_c) == (first.state, first.part_temp_c) == (frozenset({"plate off"}), 21.5)

    def test_a_withdrawn_row_does_not_contradict(self, harbour) -> None:
        spoil(harbour, READINGS, "r2,", "bores 1,,,", "bores 1,plate on,30 °C,")
        spoil(harbour, READINGS, "r2,", "2026-10-05,,", "2026-10-05,misread,")
        readings = harbour.job().readings
        assert {reading.state for reading in readings[2:6]} == {frozenset({"plate off"})}

    def test_a_withdrawn_row_still_says_how_the_others_were(self, harbour) -> None:
        spoil(harbour, READINGS, "r1,", "2026-10-05,,", "2026-10-05,misread,")
        readings = harbour.job().readings
        assert {reading.state for reading in readings[1:6]} == {frozenset({"plate off"})}

    def test_no_sitting_no_inheriting(self, harbour) -> None:
        for number in range(1, 7):
            spoil(harbour, READINGS, f"r{number},", "bores 1", "")
        readings = harbour.job().readings
        assert [reading.part_temp_c for reading in readings[:6]] == [21.5, *[None] * 5]


PASS_FAULTS = {
    "no such ring": ("top,", "tip,", "ring", "'tip' is no ring that is filed", "'top'?"),
    "no count": (",0,", ",few,", "taken", "'few' is no count", "Write 0"),
    "less than nothing": (",0,", ",-1,", "taken", "'-1' is no count", "Write 0"),
    "not a number": (",0,", ",nan,", "taken", "'nan' is no count", "Write 0"),
    "no gap": ("0.40 to 0.45 mm", "", "gap", "neither a gap nor anything taken", "Write the gap"),
    "a gap without unit": ("0.40 to 0.45 mm", "0.40 to 0.45", "gap", "no unit", "0.45 mm"),
    "one blade": ("0.40 to 0.45 mm", "0.40 mm", "gap", "one blade alone gives no size", "goes"),
    "an unknown gauge": ("FB2", "FB9", "gauge", "no gauge 'FB9'", "'FB"),
    "an unknown ring set": ("R1", "R9", "rings", "no part bears the mark 'R9'", "R1, R2"),
    "a piston for rings": ("R1", "P1", "ring", "P1 is a piston, and top gap belongs to a ring set", "Mend"),
    "an unknown cylinder": ("cylinder 1", "cylinder 9", "at", "no 'cylinder 9'", "cylinder 1, cylinder 2"),
    "a hot ring": ("20 °C", "70", "ring_temp", "did you mean 70 °F", "is expected"),
}


@pytest.mark.parametrize("fault", PASS_FAULTS.values(), ids=PASS_FAULTS)
def test_a_fault_in_the_passes(harbour, fault) -> None:
    old, new, column, what, mend = fault
    assert old in PASS
    harbour.write(PASSES, PASS_HEADER + PASS.replace(old, new, 1))
    found = harbour.only()
    assert (found.place.file, found.place.line, found.place.field) == (PASSES, 2, column)
    assert what in found.what
    assert mend in found.mend


RECORD_FAULTS = {
    "unsigned": (",R. Quill (invented),", ",,", "by", "an acceptance needs 'by'", "who"),
    "no reason": (
        "cheek dressed once already; customer told; oil throw watched at first hours",
        "",
        "why",
        "needs 'why'",
        "why",
    ),
    "no such event": ("concession", "blessing", "event", "'blessing' is no way", "Possible: concession, judgement"),
    "no number": ("1,conc", "one,conc", "number", "'one' is no row's number", "1, 2, 3"),
    "a raised number": ("1,conc", "²,conc", "number", "'²' is no row's number", "1, 2, 3"),
    "a number without end": ("1,conc", "9" * 5000 + ",conc", "number", "is no row's number", "1, 2, 3"),
    "no such fit": ("rod side", "rod sied", "fit", "no fit 'rod sied'", "'rod side'?"),
    "no value": ("0.425 mm", "", "value", "nothing is written", "number and its unit"),
    "no such day": ("2026-10-09", "9.10.2026", "when", "'9.10.2026' is no date", "2026-03-31"),
}


@pytest.mark.parametrize("fault", RECORD_FAULTS.values(), ids=RECORD_FAULTS)
def test_a_fault_in_the_record(harbour, fault) -> None:
    old, new, column, what, mend = fault
    harbour.change(RECORD, old, new)
    found = harbour.only()
    assert (found.place.file, found.place.line, found.place.field) == (RECORD, 2, column)
    assert what in found.what
    assert mend in found.mend


def test_an_acceptance_for_a_place_that_is_not_there(harbour) -> None:
    text = harbour.text(RECORD)
    harbour.write(RECORD, text[: text.rindex(",") + 1].replace("throw 3", "throw 9") + "\n")
    found = harbour.only()
    assert (found.code, found.place.field) == ("at-unknown", "at")
    assert "Possible: throw 1" in found.mend
