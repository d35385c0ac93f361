"""Every problem of every file in one list, each fault told once."""

import pytest

from blockwright.jobfile.folder import MOST_FOUND, MOST_TOLD

JOB, GAUGES, READINGS, RECORD = "job.toml", "gauges.toml", "readings.csv", "record.csv"

# file, what is written for what, and where it is told
FIFTEEN = (
    (JOB, 'stroke = "4.070 in"', 'stroke = "4.070 ib"', "engine, stroke"),
    (JOB, 'deck = "0.10 mm"', 'dek = "0.10 mm"', "engine, dek"),
    (JOB, 'power = "265 kW"', 'power = "265000 kW"', "duty, power"),
    (JOB, 'mark = "W1"\nkind = "pin"', 'mark = "W1"\nkind = "pim"', "part 4, kind"),
    (JOB, 'rings = "R3"', 'rings = "R33"', "cylinder 3, rings"),
    (JOB, 'low = "1.8 thou"', 'low = "8.1 thou"', "limit 4, low"),
    (GAUGES, 'sense = "deviation backwards"', 'sense = "deviation backward"', "gauge 6, sense"),
    (GAUGES, 'certificate = "0.3 Nm"', 'certificate = "0.3 mm"', "gauge 13, certificate"),
    (GAUGES, 'master = "M4"', 'master = "M44"', "setting 4, master"),
    (READINGS, "r26,P1,skirt", "r26,P11,skirt", "part"),
    (READINGS, "r27,P2,skirt,,,,97.131", "r27,P2,skirt,,,,3.8241", "value"),
    (READINGS, "r2,B1,bore,cylinder 1", "r2,B1,bore,cylinder 11", "at"),
    (READINGS, "r70,R1,second gap,cylinder 1,,30 mm,29 to 30", "r70,R1,second gap,cylinder 1,,30 mm,29", "value"),
    (READINGS, "r71,R1,upper rail gap", "r71,R1,uper rail gap", "feature"),
    (RECORD, "1,concession", "1,concesion", "event"),
)


def test_fifteen_faults_in_four_files(harbour) -> None:
    for file, old, new, _ in FIFTEEN:
        harbour.change(file, old, new)
    told = [(problem.place.file, problem.place.line, problem.place.field) for problem in harbour.refused()]
    wanted = {(file, harbour.line(file, new.split("\n")[-1]), field) for file, _, new, field in FIFTEEN}
    assert set(told) == wanted
    assert len(told) == len(FIFTEEN)
    order = [JOB, GAUGES, READINGS, RECORD]
    assert told == sorted(told, key=lambda place: (order.index(place[0]), place[1]))


def test_a_sheet_that_cannot_be_parsed_hides_no_fault_of_the_others(harbour) -> None:
    harbour.change(JOB, "[duty]", "[duty")
    harbour.change(GAUGES, 'resolution = "0.1 Nm"', 'resolution = "0.1"')
    harbour.change(READINGS, "-8,um,BG1", "-8,un,BG1")
    harbour.change(RECORD, "0.425 mm", "0.425")
    assert [problem.place.file for problem in harbour.refused()] == [JOB, GAUGES, READINGS, RECORD]


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        (JOB, "[duty]", "[duty"),
        (JOB, "[engine]", "[motor]"),
        (JOB, 'layout = "inline"', 'layout = "row"'),
        (JOB, "cylinders = 4", 'cylinders = "four"'),
        (JOB, 'bore = "97.25 mm"', 'bore = "97.25"'),
        (JOB, '[[part]]\nmark = "B1"', '[[part]]\nmrak = "B1"'),
        (JOB, 'mark = "P1"\nkind = "piston"', 'mark = "P1"\nkind = "pistn"'),
        (JOB, 'mark = "P1"', "mark = 1"),
        (GAUGES, 'format = "blockwright gauges 1"', 'format = "blockwright gauges'),
        (GAUGES, 'id = "BG1"', "id = 1"),
        (GAUGES, 'sense = "deviation backwards"', 'sense = "backwards"'),
        (GAUGES, 'id = "S1"', 'di = "S1"'),
        (GAUGES, 'size = "97.250 mm"', 'size = "97.250"'),
    ],
)
def test_a_fault_in_a_sheet_is_not_told_again_in_every_reading(harbour, file, old, new) -> None:
    harbour.change(file, old, new)
    assert {problem.place.file for problem in harbour.refused()} == {file}


@pytest.mark.parametrize(("file", "word"), [(JOB, "part"), (GAUGES, "gauge")])
def test_no_parts_or_gauges_at_all_is_told_once(harbour, file, word) -> None:
    text = harbour.text(file)
    kept = [
        block
        for block in text.split("\n\n")
        if not block.startswith((f"[[{word}]]", "[[setting]]", "[[order]]", "[[cylinder]]", "[[main]]"))
    ]
    harbour.write(file, "\n\n".join(kept))
    told = [problem for problem in harbour.refused() if problem.code == f"{word}-unknown"]
    assert len(told) == 1
    assert f"no [[{word}]] at all" in told[0].mend


def test_two_hundred_are_told_and_the_rest_counted(harbour) -> None:
    header, _, rows = harbour.text(READINGS).partition("\n")
    many = [
        row.replace("r", f"{n}r", 1).replace(",um,", ",un,").replace(",mm,", ",mn,").replace(",thou,", ",tou,")
        for n in range(2)
        for row in rows.splitlines()
    ]
    harbour.write(READINGS, "\n".join([header, *many, ""]))
    found = harbour.refused()
    assert len(found) == MOST_TOLD + 1
    assert found[-1].what.endswith("more problems follow.")
    assert found[-1].place.file == READINGS


def test_a_file_of_nothing_but_faults_is_not_read_to_its_end(harbour) -> None:
    header, _, _ = harbour.text(READINGS).partition("\n")
    harbour.write(READINGS, header + "\n" + "x,y,z\n" * 19_000)
    assert harbour.refused()[-1].what == f"more than {MOST_FOUND - MOST_TOLD} more problems follow."


def test_a_table_without_end_is_not_read(harbour) -> None:
    header, _, _ = harbour.text(READINGS).partition("\n")
    harbour.write(READINGS, header + "\n" + "x,y,z\n" * 500_000)
    found = harbour.only()
    assert (found.code, found.place.file) == ("table-large", READINGS)
    assert "500001 lines" in found.what
