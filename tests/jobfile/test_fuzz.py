"""Anything may stand in the files: reading ends with a job or with problems, soon, and never with anything else."""

import random
import tempfile
import time
from importlib import resources
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blockwright.fits.assess import assess
from blockwright.jobfile.folder import FILES, MOST_TOLD, read_folder
from blockwright.jobfile.write import folder_texts
from blockwright.problems import BlockwrightError

LONGEST_S = 10.0
"""Far more than any of these should take, on a busy machine too."""


def files_of(name: str) -> dict[str, bytes]:
    items = (resources.files("blockwright.demos") / name).iterdir()
    return {item.name: item.read_bytes() for item in items if item.name in FILES}


DEMOS = {name: files_of(name) for name in ("harbour", "hillclimb")}


def outcome(files: dict[str, bytes]) -> str:
    """What reading ends with: `read`, or the first problem's code. Anything but a job or problems is a failure."""
    with tempfile.TemporaryDirectory() as folder:
        for name, data in files.items():
            (Path(folder) / name).write_bytes(data)
        start = time.process_time()
        try:
            read = read_folder(Path(folder))
        except BlockwrightError as error:
            problems = error.problems
        else:
            assert folder_texts(read.job, read) == read.texts
            assess(read.job)
            return "read"
        finally:
            assert time.process_time() - start < LONGEST_S
    assert 0 < len(problems) <= MOST_TOLD + 1
    for problem in problems:
        assert problem.place.file in FILES
        assert problem.what
        assert str(problem).isprintable()
        assert len(str(problem)) < 3000
    return problems[0].code


def mutated(files: dict[str, bytes], chance: random.Random) -> dict[str, bytes]:
    """The files of a demonstration with a few accidents."""
    after = dict(files)
    for _ in range(chance.randint(1, 4)):
        name = chance.choice(list(after))
        after[name] = chance.choice(ACCIDENTS)(after[name], chance)
    return after


def flip_a_byte(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(data) or 1)
    return data[:at] + bytes([chance.randrange(256)]) + data[at + 1 :]


def flip_to_a_sign(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(data) or 1)
    return (
        data[:at]
        + chance.choice(
            [b'"', b",", b"[", b"]", b"=", b"\n", b"\r", b".", b"-", b"0", b"9", b";", b"#", b" ", b"\t", b"{"]
        )
        + data[at + 1 :]
    )


def lose_a_line(data: bytes, chance: random.Random) -> bytes:
    lines = data.splitlines(keepends=True)
    return b"".join(line for n, line in enumerate(lines) if n != chance.randrange(len(lines) or 1))


def repeat_a_line(data: bytes, chance: random.Random) -> bytes:
    lines = data.splitlines(keepends=True) or [b""]
    at = chance.randrange(len(lines))
    return b"".join([*lines[:at], lines[at], *lines[at:]])


def move_a_line(data: bytes, chance: random.Random) -> bytes:
    lines = data.splitlines(keepends=True) or [b""]
    line = lines.pop(chance.randrange(len(lines)))
    lines.insert(chance.randrange(len(lines) + 1), line)
    return b"".join(lines)


def swap_two_cells(data: bytes, chance: random.Random) -> bytes:
    mark = chance.choice([b",", b'"', b" = ", b"\n"])
    cells = data.split(mark)
    one, other = chance.randrange(len(cells)), chance.randrange(len(cells))
    cells[one], cells[other] = cells[other], cells[one]
    return mark.join(cells)


def other_words(data: bytes, chance: random.Random) -> bytes:
    mark = chance.choice([b",", b'"', b" = "])
    cells = data.split(mark)
    cells[chance.randrange(len(cells))] = chance.choice(WORDS)
    return mark.join(cells)


def cut_short(data: bytes, chance: random.Random) -> bytes:
    return data[: chance.randrange(len(data) + 1)]


ACCIDENTS = (
    flip_a_byte,
    flip_to_a_sign,
    lose_a_line,
    repeat_a_line,
    move_a_line,
    swap_two_cells,
    other_words,
    cut_short,
)
WORDS = (
    b"", b"nan", b"inf", b"-1", b"0", b"1e999", b"1e-30 mm", b"0x" + b"f" * 400, b"9" * 200, "²".encode(), "٣".encode(), b"cylinder 99999999999",
    "cylinder ²".encode(), b"1/0 in", b"1/128 in", b"true", b"[[1]]", b"{}", b"1979-05-27", b"not known", b"0 to 0", b"1 to 2 mm to 3 mm", b" to ",
    b"engine", b"bore", b"BG1", b"plate on; plate off", b"-0 mm", b"+5 um", b"0.0000001 mm", b"100 km", b"70", b"\xc2\xa0", b"a" * 20_000,
)  # fmt: skip


@given(st.sampled_from(FILES), st.binary(max_size=400))
def test_any_bytes_as_a_file(file: str, data: bytes) -> None:
    outcome({**DEMOS["harbour"], file: data})


@given(st.sampled_from(FILES), st.text(st.sampled_from("[]{}=.\"'#,;\n\t ab1-+e_"), max_size=60))
def test_any_signs_as_a_file(file: str, text: str) -> None:
    outcome({**DEMOS["harbour"], file: text.encode()})
    outcome(
        {
            **DEMOS["harbour"],
            file: DEMOS["harbour"][file if file in DEMOS["harbour"] else "readings.csv"] + text.encode(),
        }
    )


@settings(max_examples=100)
@given(st.sampled_from(list(DEMOS)), st.integers(0, 2**32))
def test_accidents(name: str, seed: int) -> None:
    outcome(mutated(DEMOS[name], random.Random(seed)))


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMOS)
def test_hundreds_of_accidents(name: str) -> None:
    chance = random.Random(name)
    ends = [outcome(mutated(DEMOS[name], chance)) for _ in range(1500)]
    assert len(set(ends)) > 15
    assert 5 < ends.count("read") < 1000


@pytest.mark.slow
@pytest.mark.parametrize("file", ["job.toml", "gauges.toml", "readings.csv", "record.csv"])
def test_each_line_lost(file: str) -> None:
    files = DEMOS["harbour"]
    lines = files[file].splitlines(keepends=True)
    for n in range(len(lines)):
        outcome({**files, file: b"".join([*lines[:n], *lines[n + 1 :]])})


@pytest.mark.parametrize(
    ("file", "data"),
    [
        ("job.toml", b"a = " + b"[" * 100_000),
        ("job.toml", b"a = 1\n" * 200_000),
        ("job.toml", b'format = "blockwright job 1"\n' + b"".join(b"k%d = 1\n" % n for n in range(100_000))),
        ("job.toml", b'format = "blockwright job 1"\n' + b"[[limit]]\nfit = 'x'\nlow = '1 mm'\n" * 40_000),
        ("job.toml", b'format = "blockwright job 1"\n' + b"[[part]]\nmark = 'P1'\nkind = 'piston'\n" * 40_000),
        ("job.toml", b"a" + b".a" * 500_000 + b" = 1"),
        ("job.toml", b"[" + b" " * 1_900_000),
        ("job.toml", b"a = '''" + b"x\n" * 900_000),
        ("gauges.toml", b'format = "blockwright gauges 1"\n' + b"[[gauge]]\nid = 'M1'\n" * 80_000),
        ("readings.csv", b"id,part,feature,value\n" + b'"' * 2_000_000),
        ("readings.csv", b"id,part,feature,value\n" + b'r,"\n' * 19_000),
        ("readings.csv", b"id,part,feature,value\n" + b'r1,"x\n' + b'a,""b""\n' * 19_000),
        ("readings.csv", b"id,part,feature,value\n" + b"r1,B1,bore,1 mm\n" * 19_000),
        ("readings.csv", b"id,part,feature,value,sitting,part_temp\n" + b"".join(b"r%d,P1,skirt,97.13 mm,a,%d\n" % (n, n) for n in range(19_000))),
        ("readings.csv", b"id,part,feature,value,sitting,part_temp\n" + b"".join(b"r%d,P1,skirt,97.13 mm,a,%d\nq%d,P1,skirt,1 mm,a,\n" % (n, n, n) for n in range(9_500))),
        ("job.toml", b'format = "blockwright job 1"\n' + b"".join(b"[[cylinder]]\nnumber = %d\n" % n for n in range(60_000))),
        ("readings.csv", b",".join(b"c%d" % n for n in range(500_000))),
        ("readings.csv", b"id," * 1_000_000),
        ("readings.csv", b"\n" * 4_900_000),
        ("record.csv", b"number,event,fit,at,value,by,why\n" + b"1,concession,rod side,throw 1,1 mm,x,y\n" * 19_000),
    ],
    ids=lambda value: value if isinstance(value, str) else f"{value[:12]!r}",
)  # fmt: skip
def test_large_files_of_nonsense(file: str, data: bytes) -> None:
    assert outcome({**DEMOS["harbour"], file: data}) != "read"
