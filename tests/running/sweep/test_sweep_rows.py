"""Cautions, worst first; aims, and the best among what holds."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.problems import BlockwrightError
from blockwright.running.sweep.aims import AIMS, aim_of, best, ranked
from blockwright.running.sweep.rows import UNSOUND, Caution, Films, Row, worst

FILMS = Films(2e-6, "cylinder 1", 120.0, 100.0, 20e6, 125.0, 1e-6, True)


@pytest.mark.parametrize(
    ("row", "films", "over", "wanted"),
    [
        (Row(), (FILMS,), False, Caution.NONE),
        (Row(), (replace(FILMS, peak_pa=60e6),), False, Caution.RANKS),
        (Row(), (replace(FILMS, peak_pa=60e6),), True, Caution.REDLINE),
        (Row(breathing=1.2), (), True, Caution.AIR),
        (Row(breathing=1.2, wall_hot_m=-1e-6), (), False, Caution.TIGHT),
        (Row(wall_hot_m=-1e-6), (FILMS, replace(FILMS, hottest_c=150.5)), False, Caution.OIL),
        (Row(crown_c=330.0), (replace(FILMS, hottest_c=170.0),), False, Caution.CROWN),
        (Row(crown_c=330.0, wall_hot_m=-1e-6), (), False, Caution.CROWN),
        (Row(crown_c=330.0), (FILMS, replace(FILMS, spare_m=-1e-8)), False, Caution.THIN),
        (Row(second_gap_hot_m=-1e-6), (replace(FILMS, spare_m=-1e-8),), False, Caution.ENDS_MEET),
        (Row(top_gap_hot_m=-1e-6), (replace(FILMS, settled=False),), False, Caution.UNSETTLED),
        (Row(message="no"), (replace(FILMS, settled=False),), True, Caution.FAILED),
    ],
)
def test_the_worst_is_said(row: Row, films: tuple[Films, ...], over: bool, wanted: Caution) -> None:
    assert worst(row, films, over_redline=over) is wanted


@pytest.mark.parametrize(
    ("words", "varied", "wanted"),
    [
        ("", ("rod_film",), "thickest rod film"),
        ("", ("main_film", "speed_rad_s"), "thickest main film"),
        ("", ("second_gap",), "least blow-by"),
        ("", ("second_gap", "rod_film"), "thickest rod film"),
        ("", (), "thickest rod film"),
        ("Least  Blow-by", ("rod_film",), "least blow-by"),
    ],
)
def test_the_aim_is_stated_or_follows(words: str, varied: tuple[str, ...], wanted: str) -> None:
    assert aim_of(words, varied).words == wanted


def test_an_aim_that_is_not_known_is_refused() -> None:
    with pytest.raises(BlockwrightError, match="'coolest crown'"):
        aim_of("prettiest", ())


ROWS = st.lists(
    st.builds(
        Row, rod_film_m=st.none() | st.floats(1e-7, 1e-5), blow_by_share=st.none() | st.floats(0.0, 0.1),
        caution=st.sampled_from([str(each) for each in Caution]),
    ),
    max_size=12,
)  # fmt: skip


@given(rows=ROWS)
def test_the_best_holds_and_none_that_holds_is_better(rows: list[Row]) -> None:
    for aim in (AIMS[0], AIMS[2]):
        order = ranked(rows, aim)
        assert sorted(order) == list(range(len(rows)))
        values = [aim.value(row) for row in rows if Caution(row.caution) not in UNSOUND and aim.value(row) is not None]
        found = best(rows, aim)
        if found is None:
            assert not values
        else:
            assert rows[found].sound
            assert aim.value(rows[found]) == (max if aim.most else min)(values)
            assert order[0] == found
