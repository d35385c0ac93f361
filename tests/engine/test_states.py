"""States of a part: a closed list of words, each with one that excludes it."""

import itertools

import pytest

from blockwright.engine.states import EXCLUDES, WORDS, contradicts, read_state, show_state


def test_each_word_has_one_that_excludes_it():
    assert all(EXCLUDES[EXCLUDES[word]] == word != EXCLUDES[word] for word in WORDS)


@pytest.mark.parametrize("text", ["plate on; caps torqued", "Caps torqued , plate  on", ";plate on;;caps torqued;"])
def test_words_in_any_order_and_hand(text):
    assert read_state(text) == (frozenset({"plate on", "caps torqued"}), ())


def test_nothing_written_is_no_state():
    assert read_state("  ") == (frozenset(), ())


@pytest.mark.parametrize("words", [pair for pair in itertools.combinations(WORDS, 2) if EXCLUDES[pair[0]] != pair[1]])
def test_what_is_shown_reads_back(words):
    state = frozenset(words)
    assert read_state(show_state(state)) == (state, ())
    assert show_state(state) == "; ".join(word for word in WORDS if word in words)


def test_an_unknown_word_names_the_nearest_one():
    state, [problem] = read_state("plate on; cap torqued")
    assert state == frozenset({"plate on"})
    assert (problem.code, problem.mend) == ("state-unknown", "Did you mean 'caps torqued'?")


def test_a_word_like_none_of_them_lists_them_all():
    _, [problem] = read_state("xyzzy")
    assert all(word in problem.mend for word in WORDS)


@pytest.mark.parametrize("word", WORDS)
def test_both_words_of_a_pair_contradict(word):
    state, [problem] = read_state(f"{word}; {EXCLUDES[word]}")
    assert problem.code == "state-contradiction"
    assert state == {word, EXCLUDES[word]}


@pytest.mark.parametrize(
    ("state", "wanted", "at_odds"),
    [
        ({"plate off"}, {"plate on"}, True), ({"plate on"}, {"plate off"}, True), ({"plate on"}, {"plate on"}, False), (set(), {"plate on"}, False),
        ({"plate on"}, set(), False), ({"caps torqued"}, {"plate on"}, False), ({"shells in", "caps off"}, {"shells in", "caps torqued"}, True),
    ],
)  # fmt: skip
def test_states_at_odds(state, wanted, at_odds):
    assert contradicts(frozenset(state), frozenset(wanted)) == at_odds


def test_what_was_typed_is_cut_and_made_safe_in_the_message():
    _, [problem] = read_state("plate \x1b[31m on " + "x" * 10_000)
    assert "\x1b" not in problem.what
    assert len(problem.what) < 100
