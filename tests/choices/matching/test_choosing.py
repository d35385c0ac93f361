"""Matching against every set there is: equal objective and equal choice, over drawn and adversarial tables; rules, stock, ties, order of input."""

from __future__ import annotations

import itertools
import random
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blockwright.choices.matching.choosing import Match, choose
from blockwright.choices.matching.model import (
    DEVIATION_STEP,
    MASS_STEP_KG,
    Balance,
    Never,
    Option,
    Stays,
    Table,
    by_name,
    natural,
)
from blockwright.problems import BlockwrightError


def option(place: str, uses: str, steps: int = 0, grams: float | None = None, barred: bool = False) -> Option:
    mass = None if grams is None else grams / 1e3
    return Option(
        place,
        tuple(uses.split("+")),
        steps * DEVIATION_STEP,
        mass,
        "under its hard limit" if barred else "",
        -1e-6 * barred,
    )


def kept(table: Table, taken: list[Option | None]) -> bool:
    """Whether a set keeps every rule, told from the rules themselves."""
    chosen = [each for each in taken if each is not None]
    used = Counter(mark for each in chosen for mark in each.uses)
    if any(each.barred for each in chosen) or any(count > table.stock.get(mark, 1) for mark, count in used.items()):
        return False
    for rule in table.rules:
        if isinstance(rule, Never) and any(each.place == rule.place and rule.mark in each.uses for each in chosen):
            return False
        if isinstance(rule, Stays):
            there = [each for each in chosen if each.place == rule.place]
            pinned = {other.place for other in table.rules if isinstance(other, Stays) and other.mark == rule.mark}
            elsewhere = [each for each in chosen if rule.mark in each.uses and each.place not in pinned]
            if any(rule.mark not in each.uses for each in there):
                return False
            if elsewhere and table.stock.get(rule.mark, 1) <= len(pinned):
                return False
    return True


def balanced(table: Table, taken: list[Option | None]) -> bool:
    grams = {
        each.place: round(each.mass_kg / MASS_STEP_KG)
        for each in taken
        if each is not None and each.mass_kg is not None
    }
    return all(
        abs(sum(grams[place] for place in rule.first) - sum(grams[place] for place in rule.second))
        <= rule.step_kg / MASS_STEP_KG + 1e-6
        for rule in table.rules
        if isinstance(rule, Balance)
    )


def every_set(table: Table):
    """All sets, the best first: (objective, order of natural names, the parts at each place). `None` where balances forbid all full sets."""
    places = sorted(table.places, key=natural)
    at = [[None, *sorted((each for each in table.options if each.place == place), key=by_name)] for place in places]
    usable = [each for each in table.options if not each.barred]
    weighed = bool(usable) and all(each.mass_kg is not None for each in usable if kept(table, [each]))
    found, unbalanced = [], False
    for taken in itertools.product(*at):
        if not kept(table, list(taken)):
            continue
        chosen = [each for each in taken if each is not None]
        if len(chosen) == len(places) and not balanced(table, list(taken)):
            unbalanced = True
            continue
        steps = [round(abs(each.deviation) / DEVIATION_STEP) for each in chosen]
        masses = [round(each.mass_kg / MASS_STEP_KG) for each in chosen] if weighed else []
        objective = (
            len(places) - len(chosen), max(steps, default=0), sum(steps), max(masses, default=0) - min(masses, default=0)
        )  # fmt: skip
        order = tuple((each is None, by_name(each) if each else ()) for each in taken)
        found.append((objective, order, tuple((each.place, each.uses) for each in chosen)))
    found.sort(key=lambda each: (each[0], each[1]))
    if unbalanced and found[0][0][0] > 0:
        return None
    return found


def told(match: Match):
    return tuple(each.key for each in match.best.options)


def check(table: Table) -> None:
    sets = every_set(table)
    if sets is None:
        with pytest.raises(BlockwrightError) as refused:
            choose(table)
        assert refused.value.problems[0].code == "match-unbalanced"
        return
    match = choose(table)
    assert tuple(match.best.objective) == sets[0][0]
    assert told(match) == sets[0][2]
    assert match.proven
    assert match.bound == match.best.objective
    others = [each for each in sets[1:] if each[0][0] == sets[0][0][0]]
    if not others:
        assert match.second is None
    else:
        assert match.second is not None
        assert tuple(match.second.objective) == others[0][0]
        assert tuple(each.key for each in match.second.options) == others[0][2]


@st.composite
def tables(draw, most_places: int = 5, coupled: bool = False) -> Table:
    places = [f"cylinder {n}" for n in range(1, draw(st.integers(1, most_places)) + 1)]
    marks = [f"P{n}" for n in range(1, draw(st.integers(1, len(places) + 2)) + 1)]
    steps = draw(st.sampled_from([2, 5, 6000]))
    weigh = coupled or draw(st.booleans())
    grams = {mark: draw(st.integers(0, draw(st.sampled_from([1, 400])))) / 100 + 600 for mark in marks}
    cells = [
        option(place, mark, draw(st.integers(0, steps)), grams[mark] if weigh else None, draw(st.integers(0, 5)) == 0)
        for place in places
        for mark in marks
    ]
    rules: list[Never | Stays | Balance] = []
    if coupled and len(places) > 1:
        middle = len(places) // 2
        rules.append(
            Balance(
                tuple(places[:middle]), tuple(places[middle : 2 * middle]), draw(st.sampled_from([0.0, 5e-4, 2e-3]))
            )
        )
    if draw(st.booleans()):
        rules.append(Never(draw(st.sampled_from(marks)), draw(st.sampled_from(places))))
    stock = {marks[0]: draw(st.integers(0, 3))}
    return Table(tuple(places), tuple(cells), tuple(rules), stock)


@given(tables())
def test_every_set_of_single_parts(table: Table) -> None:
    check(table)


@settings(max_examples=30)
@given(tables(4, coupled=True))
def test_every_set_with_balanced_banks(table: Table) -> None:
    check(table)


@st.composite
def mixes(draw) -> Table:
    """Half shells of a few grades in two halves at each place."""
    places = [f"main {n}" for n in range(1, draw(st.integers(1, 3)) + 1)]
    grades = ["red", "blue", "green"][: draw(st.integers(1, 3))]
    pairs = list(itertools.combinations_with_replacement(grades, 2))
    top = draw(st.sampled_from([3, 4000]))
    cells = [
        option(place, f"{a}+{b}", draw(st.integers(0, top)), None, draw(st.integers(0, 6)) == 0)
        for place in places
        for a, b in pairs
    ]
    return Table(tuple(places), tuple(cells), (), {grade: draw(st.integers(0, 4)) for grade in grades})


@settings(max_examples=30)
@given(mixes())
def test_every_set_of_half_shells(table: Table) -> None:
    check(table)


@pytest.mark.parametrize("seed", range(3))
def test_seven_places(seed: int) -> None:
    """7! sets of drawn deviations, and of masses that must be weighed against each other where all deviations are equal."""
    rng = random.Random(seed)
    places, marks = [f"cylinder {n}" for n in range(1, 8)], [f"P{n}" for n in range(1, 8)]
    grid = {(place, mark): rng.randrange(5000) for place in places for mark in marks}
    permutations = list(itertools.permutations(marks))
    least = min((max(costs), sum(costs)) for each in permutations
                if (costs := [grid[pair] for pair in zip(places, each, strict=True)]))  # fmt: skip
    match = choose(Table(tuple(places), tuple(option(place, mark, grid[place, mark]) for place, mark in grid)))
    assert match.best.objective[1:3] == least


def test_greedy_falls_into_this() -> None:
    """The nearest pair of all is the wrong one to take first; and the smallest sum has not the smallest worst."""
    grid = {("1", "A"): 0, ("1", "B"): 30, ("2", "A"): 31, ("2", "B"): 90}
    match = choose(Table(("1", "2"), tuple(option(place, mark, steps) for (place, mark), steps in grid.items())))
    assert told(match) == (("1", ("B",)), ("2", ("A",)))
    assert match.best.objective == (0, 31, 61, 0)
    grid = {("1", "A"): 0, ("1", "B"): 50, ("2", "A"): 50, ("2", "B"): 51}
    match = choose(Table(("1", "2"), tuple(option(place, mark, steps) for (place, mark), steps in grid.items())))
    assert match.best.objective == (0, 50, 100, 0)


@given(tables(4, coupled=True), st.randoms())
@settings(max_examples=20)
def test_the_order_of_input_does_not_matter(table: Table, rng: random.Random) -> None:
    def given_as(mixed: Table):
        try:
            return choose(mixed)
        except BlockwrightError as refused:
            return refused.problems

    shuffled = [list(each) for each in (table.places, table.options, table.rules)]
    for each in shuffled:
        rng.shuffle(each)
    assert given_as(table) == given_as(Table(*map(tuple, shuffled), dict(reversed(table.stock.items()))))


def test_ties_go_by_the_marks_as_a_builder_counts() -> None:
    match = choose(
        Table(
            ("cylinder 10", "cylinder 2"),
            tuple(option(at, mark) for at in ("cylinder 10", "cylinder 2") for mark in ("P10", "P2")),
        )
    )
    assert told(match) == (("cylinder 2", ("P2",)), ("cylinder 10", ("P10",)))
    assert match.second is not None
    assert match.second.objective == match.best.objective


PLACES = ("cylinder 1", "cylinder 2", "cylinder 3")
CELLS = tuple(option(place, mark, 10, 600.0) for place in PLACES for mark in ("P1", "P2", "P3"))


@pytest.mark.parametrize(("rules", "code", "said"), [
    ((Stays("P1", "cylinder 1"), Stays("P1", "cylinder 2")), "match-stays-twice", "P1 is to stay in cylinder 1 and in cylinder 2"),
    ((Stays("P1", "cylinder 1"), Stays("P2", "cylinder 1")), "match-stays-together", "P1 and P2 cannot be in cylinder 1 together"),
    ((Stays("P1", "cylinder 1"), Never("P1", "cylinder 1")), "match-stays-never", "P1 is to stay in cylinder 1 and is not to go there"),
    ((Stays("P9", "cylinder 1"),), "match-mark", "no part 'P9' can be chosen"),
    ((Never("P1", "cylinder 9"),), "match-place", "there is no place 'cylinder 9'"),
    ((Balance(("cylinder 1",), ("cylinder 1",), 1e-3),), "match-balance", "or one twice"),
    ((Balance(("cylinder 1",), ("cylinder 2",), -1e-3),), "match-step", "less than nothing"),
])  # fmt: skip
def test_rules_that_cannot_be_kept(rules: tuple, code: str, said: str) -> None:
    with pytest.raises(BlockwrightError) as refused:
        choose(Table(PLACES, CELLS, rules))
    assert refused.value.problems[0].code == code
    assert said in str(refused.value.problems[0])


def test_a_part_that_is_to_stay_where_a_hard_limit_forbids_it() -> None:
    cells = tuple(
        option(place, mark, 10, None, (place, mark) == ("cylinder 1", "P1"))
        for place in PLACES
        for mark in ("P1", "P2", "P3")
    )
    with pytest.raises(BlockwrightError) as refused:
        choose(Table(PLACES, cells, (Stays("P1", "cylinder 1"),)))
    assert "P1 is to stay in cylinder 1, and there it is under its hard limit" in str(refused.value.problems[0])


def test_a_balance_without_masses_names_what_to_weigh() -> None:
    cells = tuple(option(place, mark) for place in PLACES for mark in ("P1", "P2", "P3"))
    with pytest.raises(BlockwrightError) as refused:
        choose(Table(PLACES, cells, (Balance(PLACES[:1], PLACES[1:2], 1e-3),)))
    assert "no mass is known with P1, P2, P3" in str(refused.value.problems[0])


def test_banks_that_cannot_balance_say_how_near_they_come() -> None:
    """600, 604 and 611 g on one place a side: 4 g at the nearest."""
    cells = tuple(
        option(place, mark, 0, grams)
        for place in PLACES[:2]
        for mark, grams in (("P1", 600.0), ("P2", 604.0), ("P3", 611.0))
    )
    with pytest.raises(BlockwrightError) as refused:
        choose(Table(PLACES[:2], cells, (Balance(PLACES[:1], PLACES[1:2], 1e-3),)))
    assert "no set brings the two sides nearer than 4.00 g, and 1 g is wanted" in str(refused.value.problems[0])
    assert told(choose(Table(PLACES[:2], cells, (Balance(PLACES[:1], PLACES[1:2], 4e-3),)))) == (
        ("cylinder 1", ("P1",)), ("cylinder 2", ("P2",)),
    )  # fmt: skip


def test_stock_runs_out() -> None:
    """Two red and one blue for three places that all want red: the one to which blue does least harm takes it."""
    steps = {"cylinder 1": 40, "cylinder 2": 20, "cylinder 3": 30}
    cells = [option(place, "red", 0) for place in PLACES] + [option(place, "blue", steps[place]) for place in PLACES]
    match = choose(Table(PLACES, tuple(cells), (), {"red": 2, "blue": 1}))
    assert told(match) == (("cylinder 1", ("red",)), ("cylinder 2", ("blue",)), ("cylinder 3", ("red",)))
    assert match.free == ()
    match = choose(Table(PLACES, tuple(cells), (), {"red": 1, "blue": 1}))
    assert told(match) == (("cylinder 1", ("red",)), ("cylinder 2", ("blue",)))
    assert [(miss.place, miss.nearest) for miss in match.missing] == [("cylinder 3", None)]


def test_what_is_missed_and_what_is_left() -> None:
    """Nothing goes into cylinder 2 without harm: of the two left over it is told which comes nearest."""
    cells = [option("cylinder 1", mark, 5) for mark in ("P1", "P2", "P3")]
    cells += [Option("cylinder 2", (mark,), -1.0, None, "under its hard limit", miss) for mark, miss in
              (("P1", -9e-6), ("P2", -4e-6), ("P3", -6e-6))]  # fmt: skip
    match = choose(Table(PLACES[:2], tuple(cells)))
    (miss,) = match.missing
    assert told(match) == (("cylinder 1", ("P1",)),)
    assert (miss.place, miss.nearest and miss.nearest.uses) == ("cylinder 2", ("P2",))
    assert match.free == ("P2", "P3")


def test_what_one_bought_part_buys() -> None:
    """Against every place tried in turn: the rest chosen by all sets there are, the bought part on its aim."""
    rng = random.Random(7)
    places, marks = PLACES, ("P1", "P2", "P3", "P4")
    cells = tuple(option(place, mark, rng.randrange(4000)) for place in places for mark in marks)
    match = choose(Table(places, cells))
    tried = [(every_set(Table(tuple(each for each in places if each != place), tuple(each for each in cells if each.place != place)))[0][0], place)
             for place in places]  # fmt: skip
    assert match.bought is not None
    assert (tuple(match.bought.objective), match.bought.place) == min(tried)
    perfect = choose(Table(places, tuple(option(place, mark) for place in places for mark in marks)))
    assert perfect.bought is None


def test_nothing_to_choose_from() -> None:
    match = choose(Table(("main 1",), ()))
    assert [(miss.place, miss.nearest) for miss in match.missing] == [("main 1", None)]
    assert (match.second, match.bought, match.coin) == (None, match.bought, None)


@given(st.integers(0, 10**6))
@settings(max_examples=15)
def test_ties_of_sets_with_empty_places(seed: int) -> None:
    """Hardly any part fits anywhere and all deviations are alike: only the natural order tells."""
    rng = random.Random(seed)
    places, marks = [f"cylinder {n}" for n in range(1, 6)], [f"P{n}" for n in range(1, 5)]
    check(
        Table(
            tuple(places), tuple(option(place, mark, 0, None, rng.random() < 0.6) for place in places for mark in marks)
        )
    )
