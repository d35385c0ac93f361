"""What a kind of act is: one declaration from which the command line, the pages, the API and its docs are made.

The words of an act are checked in two steps: here, whether they are words that the kind has and texts that a file can hold; then by the kind's
own `draft`, which asks the readers of the job folder whether the job could bear them.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from blockwright.acts.event import Body
from blockwright.acts.roles import Role
from blockwright.engine.job import Job
from blockwright.jobfile.near import meant
from blockwright.jobfile.table import LONGEST_CELL, UNPRINTABLE
from blockwright.problems import BlockwrightError, Place, Problem, excerpt

Words = Mapping[str, Any]


class Shape(StrEnum):
    """What stands for a word: in JSON a text, a whole number, yes or no, a list of texts, or a table."""

    TEXT = "text"
    COUNT = "whole number"
    YES = "yes or no"
    LIST = "list"
    TABLE = "table"
    LONG_TEXTS = "texts of files"


@dataclass(frozen=True)
class Word:
    """One word of an act: its name, what it means, whether it must be there, and what may stand for it."""

    name: str
    doc: str
    required: bool = False
    shape: Shape = Shape.TEXT


@dataclass(frozen=True)
class Who:
    """Whose act, when (with the zone), and the sender's own mark of it."""

    by: str
    at: dt.datetime
    key: str = ""

    @property
    def day(self) -> str:
        """The day as a cell of a file."""
        return self.at.date().isoformat()


Draft = Callable[[Job, Words, Who], Body]
Apply = Callable[[Job, Body], Job]


@dataclass(frozen=True)
class Kind:
    """One kind of act. `role` is the least that may do it.

    `draft` checks the words against the job and gives the whole body, or raises BlockwrightError whose problems each name their word;
    `apply` makes the job as it is after the act, and checks nothing.
    """

    name: str
    doc: str
    words: tuple[Word, ...]
    role: Role
    draft: Draft
    apply: Apply

    def word(self, name: str) -> Word | None:
        """The word of a name."""
        return next((word for word in self.words if word.name == name), None)


def kind(name: str, doc: str, words: Sequence[Word], *, role: Role, draft: Draft, apply: Apply) -> Kind:
    """A kind of act whose `draft` is given words that are known, there and fit to be written."""

    def checked(job: Job, words_given: Words, who: Who) -> Body:
        return draft(job, fit_words(made, words_given), who)

    made = Kind(name, doc, tuple(words), role, checked, apply)
    return made


def fit_words(made: Kind, given: Words) -> dict[str, Any]:
    """The words that say something. Raises BlockwrightError with all that cannot be."""
    said: dict[str, Any] = {}
    problems: list[Problem] = []
    for name, value in given.items():
        word = made.word(name)
        if word is None:
            problems.append(_unknown(made, name))
        elif value is not None and value != "":
            try:
                said[name] = _fit(word, value)
            except BlockwrightError as error:
                problems.extend(error.problems)
    known = {problem.place.field for problem in problems}
    for word in made.words:
        nothing: tuple[Any, ...] = (None, "", {}) if word.shape is Shape.TABLE else (None, "", {}, [])
        if word.required and said.get(word.name) in nothing and word.name not in known:
            problems.append(
                Problem("word-missing", f"'{word.name}' is missing ({word.doc}).", "Write it in.").at(field=word.name)
            )
    if problems:
        raise BlockwrightError(problems)
    return {name: value for name, value in said.items() if value != ""}


def refusal(field: str, problem: Problem) -> BlockwrightError:
    """A refusal over one word, to be raised."""
    return BlockwrightError(problem.at(field=field))


def of_words(error: BlockwrightError, fields: Mapping[str, str], otherwise: str) -> BlockwrightError:
    """An error of a use, each of its problems with the word that it belongs to, by the problem's code."""
    return BlockwrightError(
        Problem(each.code, each.what, each.mend, Place(field=each.place.field or fields.get(each.code, otherwise)))
        for each in error.problems
    )


def in_words(problems: Iterable[Problem]) -> BlockwrightError:
    """Problems of a row of a file as those of an act: the column is the word."""
    return BlockwrightError(
        Problem(each.code, each.what, each.mend, Place(field=each.place.field)) for each in problems
    )


def _unknown(made: Kind, name: str) -> Problem:
    names = [word.name for word in made.words]
    what = f"'{excerpt(str(name))}' is no word of '{made.name}'."
    return Problem("word-unknown", what, meant(str(name), names) or f"Its words are: {', '.join(names)}.").at(
        field=str(name)
    )


def _fit(word: Word, value: Any) -> Any:
    if word.shape is Shape.TEXT and isinstance(value, str):
        return _line(word.name, value)
    if word.shape is Shape.COUNT and isinstance(value, int | str) and not isinstance(value, bool):
        return _count(word.name, value)
    if word.shape is Shape.YES and isinstance(value, bool):
        return value
    if word.shape is Shape.LIST and isinstance(value, list | tuple):
        return [_fit(Word(word.name, word.doc), item) for item in value]
    if word.shape is Shape.LIST and isinstance(value, str):
        return [_line(word.name, value)]
    if word.shape is Shape.TABLE and isinstance(value, Mapping | list | tuple):
        return _plain_table(word.name, value)
    if (
        word.shape is Shape.LONG_TEXTS
        and isinstance(value, Mapping)
        and all(isinstance(text, str) for text in value.values())
    ):
        return {str(file): text for file, text in value.items()}
    what = f"something else stands for '{word.name}'; a {word.shape} is wanted."
    raise refusal(
        word.name,
        Problem(
            "word-shape",
            what,
            "Write a number that was read as text, as it was typed." if word.shape is Shape.TEXT else "",
        ),
    )


def _line(field: str, value: str) -> str:
    if UNPRINTABLE.search(value) or any("\ud800" <= sign <= "\udfff" for sign in value):
        raise refusal(field, Problem("table-signs", "there are signs in it that do not print.", "Type it again."))
    if len(value) > LONGEST_CELL:
        what = f"it has {len(value)} letters; at most {LONGEST_CELL} are kept."
        raise refusal(field, Problem("table-long", what, "Write it shorter."))
    return value.strip()


def _count(field: str, value: int | str) -> int:
    text = str(value).strip()
    if not text.isdecimal() or len(text) > 12:
        raise refusal(field, Problem("word-shape", f"'{excerpt(text)}' is no whole number.", "Write digits only."))
    return int(text)


def _plain_table(field: str, value: Any) -> Any:
    """A table as typed: texts without gaps around them, and names with nothing beside them left out."""
    if isinstance(value, Mapping):
        return {_line(field, str(key)): _plain_table(field, item) for key, item in value.items() if item is not None}
    if isinstance(value, list | tuple):
        return [_plain_table(field, item) for item in value]
    return _line(field, value) if isinstance(value, str) else value
