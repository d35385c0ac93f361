"""Reading takes time in proportion to the rows, not to their square."""

import math
import time

import pytest


def seconds(bench, rows: int) -> float:
    """The shortest of three readings of a table with so many rows."""
    header, *some = bench.text("readings.csv").splitlines()
    some = [row for row in some if '"' not in row]
    many = [f"n{n}{some[n % len(some)].removeprefix('r')}" for n in range(rows)]
    for n, row in enumerate(many):
        cells = row.split(",")
        cells[0], cells[10] = f"n{n}", f"{cells[10]} {n // len(some)}"
        many[n] = ",".join(cells)
    bench.write("readings.csv", "\n".join([header, *many, ""]))
    taken = []
    for _ in range(3):
        start = time.perf_counter()
        assert len(bench.read().job.readings) == rows
        taken.append(time.perf_counter() - start)
    return min(taken)


@pytest.mark.slow
def test_time_grows_with_the_rows(hillclimb) -> None:
    before = hillclimb.text("readings.csv")
    few = seconds(hillclimb, 1000)
    hillclimb.write("readings.csv", before)
    many = seconds(hillclimb, 8000)
    slope = math.log(many / few) / math.log(8)
    assert slope < 1.3
