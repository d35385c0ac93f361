"""A builder's own pressure: read and put on equal steps, and every refusal with its line and mend."""

import math

import numpy as np
import pytest

from blockwright.problems import BlockwrightError
from blockwright.running.work.trace import Trace, read_trace

HEAD = "angle deg,pressure bar"


def write(tmp_path, rows, head=HEAD, encoding="utf-8"):
    path = tmp_path / "trace.csv"
    path.write_text("\n".join([head, *rows]), encoding=encoding)
    return path


def rows(start=-360, stop=360, step=10, bar=lambda angle: 3.0):
    return [f"{angle},{bar(angle)}" for angle in range(start, stop, step)]


def said(tmp_path, *args, **more):
    with pytest.raises(BlockwrightError) as refused:
        read_trace(write(tmp_path, *args, **more))
    [problem] = refused.value.problems
    assert problem.code == "pressure-file"
    assert problem.mend
    assert problem.place.file == "trace.csv"
    return problem


def test_equal_steps_from_firing_top_on_absolute(tmp_path):
    """40 bar at the top falling to nil in 100° on both sides, over the crankcase's: read at 0, 5, 50, 700°."""
    trace = read_trace(write(tmp_path, rows(bar=lambda angle: max(40.0 - 0.4 * abs(angle), 0.0))))
    found = trace.evenly_pa(720)
    assert found.shape == (720,)
    assert found[[0, 5, 50, 700, 360]] == pytest.approx(np.array([40, 38, 20, 32, 0]) * 1e5 + 101325.0, rel=1e-12)
    assert trace.words == "pressure as given in trace.csv"


def test_angles_may_come_in_any_order_and_from_nil_to_720(tmp_path):
    wave = lambda angle: 20.0 + 10.0 * math.cos(math.radians(angle / 2))  # noqa: E731
    about = read_trace(write(tmp_path, rows(bar=wave))).evenly_pa(360)
    from_top = read_trace(write(tmp_path, rows(0, 720, bar=wave)[::-1])).evenly_pa(360)
    assert from_top == pytest.approx(about, rel=1e-12)


def test_both_ends_of_a_cycle_may_be_there(tmp_path):
    assert len(read_trace(write(tmp_path, rows(-360, 370))).angle_deg) == 73


def test_a_steady_pressure_stays_one():
    angles = tuple(float(a) for a in range(0, 720, 20))
    assert Trace(angles, (5e5,) * 36, "").evenly_pa(97) == pytest.approx(np.full(97, 5e5 + 101325.0))


def test_a_mark_of_byte_order_and_blank_lines_do_no_harm(tmp_path):
    assert len(read_trace(write(tmp_path, ["", *rows(), "  "], encoding="utf-8-sig")).angle_deg) == 72


def test_the_header_is_wanted(tmp_path):
    problem = said(tmp_path, rows(), head="angle,bar")
    assert problem.what == "its first line is not the header."
    assert problem.mend == "Write as first line: angle deg,pressure bar"


@pytest.mark.parametrize(
    ("row", "what"),
    [
        ("ten,20", "'ten,20' is not two numbers."),
        ("10", "'10' is not two numbers."),
        ("10,20,30", "'10,20,30' is not two numbers."),
        ("10,", "'10,' is not two numbers."),
        ("nan,20", "nan° is no angle of one cycle."),
        ("inf,20", "inf° is no angle of one cycle."),
        ("721,20", "721° is no angle of one cycle."),
        ("11,nan", "nan bar over the crankcase is no cylinder's pressure."),
        ("11,-1.0", "-1 bar over the crankcase is no cylinder's pressure."),
        ("11,401", "401 bar over the crankcase is no cylinder's pressure."),
        ("11,20e5", "2e+06 bar over the crankcase is no cylinder's pressure."),
    ],
)
def test_a_line_that_is_wrong_is_named(tmp_path, row, what):
    problem = said(tmp_path, [*rows()[:3], "", row, *rows()[3:]])
    assert problem.what == what
    assert problem.place.line == 6, "the header is line 1, and a blank line counts"


@pytest.mark.parametrize(
    ("lines", "what"),
    [
        (rows(0, 360), "between two angles there are more than 20°."),
        (rows(0, 720, 30), "24 points: 36 to 20000 are needed."),
        (rows()[:20] + rows()[23:], "between two angles there are more than 20°."),
        ([*rows(), "0,3"], "an angle is there twice, or there is more than one cycle."),
        (rows(-400, 360), "an angle is there twice, or there is more than one cycle."),
        ([f"{0.03 * i:.3f},1" for i in range(20_001)], "20001 points: 36 to 20000 are needed."),
        ([], "0 points: 36 to 20000 are needed."),
    ],
)
def test_what_is_no_whole_cycle_is_refused(tmp_path, lines, what):
    assert said(tmp_path, lines).what == what


def test_a_file_that_is_none(tmp_path):
    for path in (tmp_path / "missing.csv", tmp_path):
        with pytest.raises(BlockwrightError, match="it cannot be read"):
            read_trace(path)
    path = tmp_path / "other.csv"
    path.write_bytes(b"angle deg,pressure bar\n\xff\xfe")
    with pytest.raises(BlockwrightError, match="it cannot be read"):
        read_trace(path)


def test_an_empty_file(tmp_path):
    path = tmp_path / "trace.csv"
    path.write_text("")
    with pytest.raises(BlockwrightError, match="not the header"):
        read_trace(path)


def test_a_cell_without_end_and_a_file_without_end(tmp_path):
    assert said(tmp_path, ["1" * 200_000 + ",2", *rows()]).what.startswith("it cannot be read")
    assert said(tmp_path, ["1,2"] * 1_100_000).what == "it is far too large for one cycle."
