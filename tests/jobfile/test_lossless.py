"""What is read is written back as it was; what is changed changes nothing else."""

import csv
import difflib
from dataclasses import replace

import pytest

from blockwright.engine.parts import CylinderParts
from blockwright.engine.rules import Accepted, Authority, LimitRow, LimitRule, Record
from blockwright.jobfile.record_csv import seal
from blockwright.jobfile.write import folder_texts, write_folder
from blockwright.metrology.readings import Reading
from blockwright.problems import BlockwrightError

JOB, GAUGES, READINGS, RECORD, PASSES = "job.toml", "gauges.toml", "readings.csv", "record.csv", "passes.csv"
FORMS = {
    "as it is": lambda data: data,
    "CRLF": lambda data: data.replace(b"\n", b"\r\n"),
    "byte-order mark": lambda data: b"\xef\xbb\xbf" + data,
    "both": lambda data: b"\xef\xbb\xbf" + data.replace(b"\n", b"\r\n"),
    "no last line end": lambda data: data.rstrip(b"\n"),
}


@pytest.fixture(params=FORMS)
def saved(request, demo):
    """A demonstration job as different programs save it, with a remark or two that a builder left."""
    for file, data in demo.bytes().items():
        if file.endswith(".toml"):
            data = data.replace(b"\n[duty]", b"# a remark\n[duty] # and one more")
        demo.write(file, FORMS[request.param](data))
    return demo


@pytest.fixture
def quoted(harbour):
    """A job whose tables are parted by semicolons, every cell in quotes, columns in another order and some left out."""
    rows = list(csv.reader(harbour.text(READINGS).splitlines()))
    order = [rows[0].index(name) for name in rows[0] if name not in ("note", "withdrawn", "gauge_temp")][::-1]
    rows = [row for row in rows if "P5" not in row]
    harbour.write(READINGS, "\r\n".join(";".join(f'"{row[i]}"' for i in order) for row in rows) + "\r\n")
    return harbour


def as_text(data: bytes) -> str:
    return data.removeprefix(b"\xef\xbb\xbf").decode()


def test_unchanged_it_keeps_its_bytes(saved) -> None:
    before = saved.bytes()
    folder = saved.read()
    texts = folder_texts(folder.job, folder)
    assert texts == {file: as_text(data) for file, data in before.items()}
    write_folder(saved.path, texts, folder.texts)
    assert saved.bytes() == before


def test_unchanged_a_table_in_another_form_keeps_its_bytes(quoted) -> None:
    before = quoted.bytes()
    folder = quoted.read()
    write_folder(quoted.path, folder_texts(folder.job, folder), folder.texts)
    assert quoted.bytes() == before


def test_written_anew_it_says_the_same(demo, tmp_path) -> None:
    job = demo.job()
    texts = folder_texts(job)
    write_folder(tmp_path / "anew", texts)
    again = type(demo)(tmp_path / "anew").read()
    assert again.job == job
    assert folder_texts(again.job) == texts
    assert folder_texts(again.job, again) == texts


def written(bench, job) -> dict[str, tuple[list[str], list[str]]]:
    """Write a changed job in the form of its folder; by file, the lines that went and those that came. It reads back the same."""
    before = bench.bytes()
    folder = bench.read()
    write_folder(bench.path, folder_texts(job, folder), folder.texts)
    assert bench.job() == job
    after = bench.bytes()
    assert {file: data[:3] == b"\xef\xbb\xbf" for file, data in after.items() if file in before} == {
        file: data[:3] == b"\xef\xbb\xbf" for file, data in before.items()
    }
    return {
        file: changed(as_text(before.get(file, b"")), as_text(after[file]))
        for file in after
        if before.get(file) != after[file]
    }


def changed(old: str, new: str) -> tuple[list[str], list[str]]:
    """Lines that went and lines that came, line ends included where they alone differ."""
    a, b = old.splitlines(keepends=True), new.splitlines(keepends=True)
    steps = difflib.SequenceMatcher(None, a, b, autojunk=False).get_opcodes()
    went = [line for tag, start, end, _, _ in steps if tag != "equal" for line in a[start:end]]
    came = [line for tag, _, _, start, end in steps if tag != "equal" for line in b[start:end]]
    return [line.rstrip("\r\n") for line in went], [line.rstrip("\r\n") for line in came]


def with_sheet(job, **changes):
    return replace(job, sheet=replace(job.sheet, **changes))


def test_one_rule_of_the_shop(saved) -> None:
    job = saved.job()
    after = with_sheet(job, rules=replace(job.rules, level=0.975))
    assert written(saved, after) == {JOB: (['level = "95 %"'], ['level = "0.975"'])}


def test_a_rule_that_was_not_there(saved) -> None:
    job = saved.job()
    after = with_sheet(job, rules=replace(job.rules, thermometer_k=0.5, touch=0.002))
    came = written(saved, after)[JOB][1]
    assert 'touch = "0.002"' in came
    assert 'thermometer = "0.5 K"' in came
    remarks = [line for line in saved.text(JOB).splitlines() if line.startswith("#")]
    assert remarks[-1].startswith("# ---- parts")
    assert saved.text(JOB).index("touch") < saved.text(JOB).index("# ---- parts")


def test_back_to_what_goes_without_saying(saved) -> None:
    job = saved.job()
    after = with_sheet(job, duty=replace(job.duty, fuel=""))
    assert written(saved, after) == {JOB: (['fuel = "petrol"'], ['fuel = ""'])}


def test_a_size_that_is_no_longer_known(saved) -> None:
    job = saved.job()
    line = next(line for line in saved.text(JOB).splitlines() if line.startswith("bore_spacing"))
    after = with_sheet(job, engine=replace(job.engine, bore_spacing_m=None))
    assert written(saved, after) == {JOB: ([line], [])}


NEW_LIMIT = LimitRule(
    fit="rod film",
    at="cylinder 1",
    authority=Authority.BUILDER,
    by="R. Quill (invented)",
    why='oil hole, "dressed"',
    low_si=41e-6,
    high_si=7e-5,
)
NEW_LINES = [
    "[[limit]]", 'fit = "rod film"', 'at = "cylinder 1"', 'authority = "builder"', 'by = "R. Quill (invented)"',
    'why = "oil hole, \\"dressed\\""', 'low = "0.041 mm"', 'high = "0.07 mm"',
]  # fmt: skip


@pytest.mark.parametrize("where", [0, 3, None])
def test_one_more_limit(saved, where) -> None:
    job = saved.job()
    limits = list(job.sheet.limit)
    limits.insert(len(limits) if where is None else where, NEW_LIMIT)
    went, came = written(saved, with_sheet(job, limit=tuple(limits)))[JOB]
    assert set(went) <= set(came)
    assert sorted(line for line in came if line and line not in went) == sorted(NEW_LINES)


def test_one_limit_less(saved) -> None:
    job = saved.job()
    went, came = written(saved, with_sheet(job, limit=(job.sheet.limit[0], *job.sheet.limit[2:])))[JOB]
    assert came == []
    assert {"[[limit]]", f'source = "{job.sheet.limit[1].source}"'} <= set(went)
    assert sum(line.startswith("[") for line in went) == 1


def test_one_size_of_a_limit(saved) -> None:
    job = saved.job()
    limits = list(job.sheet.limit)
    old = limits[4]
    assert old.fit == "rod film"
    limits[4] = replace(old, high_si=8e-5)
    went, came = written(saved, with_sheet(job, limit=tuple(limits)))[JOB]
    assert (len(went), came) == (1, ['high = "0.08 mm"'])


def test_a_table_by_size(saved) -> None:
    job = saved.job()
    rows = (LimitRow(to_m=0.05, low_si=1e-5), LimitRow(to_m=0.08, low_si=2e-5, high_si=1 / 3e4))
    limits = (*job.sheet.limit, LimitRule(fit="main film", at="main 1", authority=Authority.MAKER, by_size=rows))
    written(saved, with_sheet(job, limit=limits))


def test_the_first_of_its_kind(saved) -> None:
    """A list of tables that the file did not have."""
    job = saved.job()
    bare = with_sheet(job, cylinder=(), order=())
    written(saved, bare)
    again = with_sheet(saved.job(), cylinder=(CylinderParts(number=1, piston="P1", shells=("CU1", "CL1")),))
    written(saved, again)


def test_one_gauge(saved) -> None:
    job = saved.job()
    gauges = list(job.gauge_sheet.gauge)
    gauges[0] = replace(gauges[0], certificate_si=2.2e-6)
    went, came = written(saved, replace(job, gauge_sheet=replace(job.gauge_sheet, gauge=tuple(gauges))))[GAUGES]
    assert (len(went), came) == (1, ['certificate = "0.0022 mm"'])


def test_one_reading_withdrawn(saved) -> None:
    job = saved.job()
    readings = list(job.readings)
    readings[6] = replace(readings[6], withdrawn="needle stuck, read again")
    (went,), (came,) = written(saved, replace(job, readings=tuple(readings)))[READINGS]
    assert came == went.removesuffix(",,") + ',"needle stuck, read again",'


def test_the_first_row_of_a_sitting_withdrawn(saved) -> None:
    """The row that says how the part was, from which the others take it."""
    job = saved.job()
    readings = list(job.readings)
    first = next(
        index
        for index, reading in enumerate(readings)
        if reading.cells["part_temp"] and not readings[index + 1].cells["part_temp"]
    )
    readings[first] = replace(readings[first], withdrawn="slip")
    went, came = written(saved, replace(job, readings=tuple(readings)))[READINGS]
    assert (len(went), len(came)) == (1, 1)


def test_the_temperature_of_a_sitting_mended_in_one_row(saved) -> None:
    """The other rows took theirs from this one: they still say what they said, or it is written out for them."""
    job = saved.job()
    readings = list(job.readings)
    readings[0] = replace(readings[0], part_temp_c=23.25)
    written(saved, replace(job, readings=tuple(readings)))


def test_a_reading_still_to_take_is_taken(saved) -> None:
    lines = saved.text(READINGS).splitlines()
    end = "\r\n" if "\r\n" in saved.text(READINGS) else "\n"
    cells = lines[2].split(",")
    lines[2] = ",".join([*cells[:6], "", *cells[7:]])
    saved.write(READINGS, end.join([*lines, ""]))
    job = saved.job()
    assert not job.readings[1].taken
    readings = list(job.readings)
    readings[1] = replace(readings[1], text="+3", low_si=3e-6, high_si=3e-6)
    went, came = changed_rows(saved, replace(job, readings=tuple(readings)))
    assert went == [lines[2]]
    assert came == [",".join([*cells[:6], "+3", *cells[7:]])]


def changed_rows(bench, job) -> tuple[list[str], list[str]]:
    return written(bench, job)[READINGS]


def test_one_more_reading(saved) -> None:
    job = saved.job()
    first = job.readings[0]
    new = Reading(
        "new1", first.part, first.feature, first.at, first.spot, None, "-7.5", "um", -7.5e-6, -7.5e-6, first.gauge, first.setting,
        "evening", first.state, 1 / 3 + 20, None, None, 'R. "Q" Quill', None, "", "a; b, c",
    )  # fmt: skip
    went, came = changed_rows(saved, replace(job, readings=(*job.readings, new)))
    assert went in ([], came[:-1])
    assert came[-1].startswith(f"new1,{first.part},bore,cylinder 1,top thrust,,-7.5,um,")
    assert came[-1].endswith(',"R. ""Q"" Quill",,,"a; b, c"')


def test_one_more_reading_whose_state_nobody_noted(saved) -> None:
    """In a sitting that others gave a state and a temperature, what is not known is written out."""
    job = saved.job()
    new = replace(job.readings[0], id="new1", state=None, part_temp_c=None)
    _, came = changed_rows(saved, replace(job, readings=(*job.readings, new)))
    assert ",not known," in came[-1]


def test_one_reading_less(saved) -> None:
    job = saved.job()
    index = next(
        i for i, reading in enumerate(job.readings) if not (reading.cells["part_temp"] or reading.cells["state"])
    )
    went, came = changed_rows(saved, replace(job, readings=(*job.readings[:index], *job.readings[index + 1 :])))
    assert (len(went), came) == (1, [])


def test_one_change_in_a_table_of_another_form(quoted) -> None:
    job = quoted.job()
    readings = list(job.readings)
    readings[6] = replace(readings[6], by="L. Marsh; for R. Quill")
    (went,), (came,) = changed_rows(quoted, replace(job, readings=tuple(readings)))
    assert went.startswith('"2026-10-05";"R. Quill (invented)";')
    assert came.startswith('2026-10-05;"L. Marsh; for R. Quill";')


def test_a_column_that_the_table_did_not_have(quoted) -> None:
    job = quoted.job()
    readings = list(job.readings)
    readings[6] = replace(readings[6], withdrawn="slip")
    changed_rows(quoted, replace(job, readings=tuple(readings)))
    assert quoted.text(READINGS).splitlines()[0].endswith(";id;withdrawn")


def test_blank_lines_stay(demo) -> None:
    demo.write(READINGS, demo.text(READINGS).replace("\nr26,", "\n\n,,\nr26,").replace("\nr1,", "\n\nr1,"))
    job = demo.job()
    readings = list(job.readings)
    readings[0] = replace(readings[0], note="first")
    went, came = changed_rows(demo, replace(job, readings=tuple(readings)))
    assert (len(went), len(came)) == (1, 1)
    assert "\n\n,,\nr26," in demo.text(READINGS)


def test_one_more_acceptance(saved) -> None:
    job = saved.job()
    value = 42e-5
    record = Record(
        len(job.records) + 1,
        Accepted.JUDGEMENT,
        "rod side",
        "throw 2",
        value,
        "0.42 mm",
        "R. Quill",
        None,
        "so,\nbe it",
    )
    sealed = replace(record, digest=seal(record, job.records[-1].digest if job.records else ""))
    went, came = written(saved, replace(job, records=(*job.records, sealed)))[RECORD]
    assert went in ([], came[: len(went)])
    assert "".join(came).endswith(f'be it",{sealed.digest}')


def test_a_text_that_no_file_can_hold(demo) -> None:
    folder = demo.read()
    before = demo.bytes()
    for text in ("\x00", "\udcff"):
        readings = (replace(folder.job.readings[0], note=text), *folder.job.readings[1:])
        with pytest.raises(BlockwrightError) as raised:
            folder_texts(replace(folder.job, readings=readings), folder)
        assert raised.value.problems[0].code == "file-signs"
        assert raised.value.problems[0].mend
    assert demo.bytes() == before


PASS_ROWS = (
    "gap,unit,id,rings,ring,at,taken,counted_in,gauge,ring_temp\n"
    '"25 to 26","thou",p901,R1,Top,cylinder 1,0,turns,FB1,20.5\n'
    '27 to 28,thou,p902,R1,top,cylinder 1,"2,5",turns,FB1,70 °F\n'
)


@pytest.fixture
def filed(harbour):
    """A job with a table of filing that was typed in a way of its own."""
    harbour.write(PASSES, PASS_ROWS)
    return harbour


def test_filing_keeps_its_bytes(filed) -> None:
    folder = filed.read()
    assert folder_texts(folder.job, folder)[PASSES] == PASS_ROWS
    assert [each.units for each in folder.job.passes] == [0.0, 2.5]


def test_an_entry_that_waits_for_its_gap_keeps_its_bytes(filed) -> None:
    filed.write(PASSES, PASS_ROWS.replace("27 to 28,thou,p902", ",,p902"))
    folder = filed.read()
    assert ",,p902" in folder.texts[PASSES]
    assert folder_texts(folder.job, folder)[PASSES] == folder.texts[PASSES]
    assert [(each.units, each.waits) for each in folder.job.passes] == [(0.0, False), (2.5, True)]


def test_one_entry_withdrawn(filed) -> None:
    job = filed.job()
    second = replace(job.passes[1], reading=replace(job.passes[1].reading, withdrawn="slip"))
    written(filed, replace(job, passes=(job.passes[0], second)))
    assert filed.text(PASSES).splitlines()[2] == '27 to 28,thou,p902,R1,top,cylinder 1,"2,5",turns,FB1,70 °F,slip'


def test_one_more_entry(filed) -> None:
    job = filed.job()
    third = replace(
        job.passes[1], reading=replace(job.passes[1].reading, id="p903", sitting="filing p903"), units=1 / 3
    )
    went, came = written(filed, replace(job, passes=(*job.passes, third)))[PASSES]
    assert went == []
    assert came == ["27 to 28,thou,p903,R1,top,cylinder 1,0.3333333333333333,turns,FB1,70 °F"]
