"""In which order the rows stand changes nothing."""

import random

import pytest

from blockwright.fits.assess import assess


def judged(bench) -> list[tuple[object, ...]]:
    """Every fit with its value, uncertainty and standing, and every flag."""
    assessment = assess(bench.job())
    fits = [
        (
            result.fit.name,
            str(result.position),
            str(result.standing),
            result.missing,
            result.found and result.estimate.value,
            result.found and result.estimate.u,
            result.chances,
        )
        for result in assessment.results
    ]
    assert sum(result.found is not None for result in assessment.results) > 20
    return fits


def flagged(bench) -> set[tuple[str, frozenset[str]]]:
    return {(flag.code, frozenset(flag.readings)) for flag in assess(bench.job()).flags}


@pytest.mark.parametrize("seed", range(3))
def test_shuffled_readings(demo, seed) -> None:
    before, flags = judged(demo), flagged(demo)
    header, *rows = demo.text("readings.csv").splitlines()
    random.Random(seed).shuffle(rows)
    demo.write("readings.csv", "\n".join([header, *rows, ""]))
    assert judged(demo) == before
    assert flagged(demo) == flags


def test_readings_from_last_to_first(demo) -> None:
    before = judged(demo)
    header, *rows = demo.text("readings.csv").splitlines()
    demo.write("readings.csv", "\n".join([header, *rows[::-1], ""]))
    assert judged(demo) == before


def test_shuffled_columns(demo) -> None:
    import csv
    import io

    before = demo.job()
    rows = list(csv.reader(io.StringIO(demo.text("readings.csv"))))
    order = list(range(len(rows[0])))
    random.Random(1).shuffle(order)
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows([[row[i] for i in order] for row in rows])
    demo.write("readings.csv", out.getvalue())
    assert demo.job() == before


@pytest.mark.parametrize(
    ("file", "word"), [("job.toml", "limit"), ("job.toml", "part"), ("job.toml", "cylinder"), ("gauges.toml", "gauge")]
)
def test_tables_from_last_to_first(demo, file, word) -> None:
    before = judged(demo)
    blocks = demo.text(file).split("\n\n")
    at = [index for index, block in enumerate(blocks) if block.startswith(f"[[{word}]]")]
    assert len(at) > 2
    for index, block in zip(at, [blocks[index].strip("\n") for index in reversed(at)], strict=True):
        blocks[index] = block
    demo.write(file, "\n\n".join(blocks) + "\n")
    assert judged(demo) == before
