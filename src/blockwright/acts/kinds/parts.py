"""Parts registered, and put into their cylinder or main bearing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from blockwright.acts.event import Body
from blockwright.acts.kinds.kind import Shape, Who, Word, Words, in_words, kind, refusal
from blockwright.acts.kinds.tables import changed, check_whole, index_of, put, table_of, with_sheet
from blockwright.acts.roles import Role
from blockwright.engine.job import Job
from blockwright.engine.parts import CylinderParts, MainParts, Part
from blockwright.engine.positions import Place, Position
from blockwright.jobfile.near import listed, meant_place
from blockwright.jobfile.records import read_alone
from blockwright.problems import BlockwrightError, Problem, excerpt

ROLES = ("piston", "pin", "rings", "rod", "shells")
SHELLS = "shells"


def _registered(job: Job, words: Words, who: Who) -> Body:
    table = table_of(words, "part")
    body = {"part": table, "again": words.get("again", False)}
    mark = table.get("mark", "")
    there = index_of(job.sheet.part, mark=mark)
    if body["again"] and there is None:
        raise refusal(
            "mark",
            Problem("part-unknown", f"no part bears the mark '{excerpt(str(mark))}'.", "Register it as a new one."),
        )
    number = there if body["again"] and there is not None else len(job.sheet.part)
    check_whole(_put_part(job, body), f"part {number + 1}", "part")
    return body


def _put_part(job: Job, body: Body) -> Job:
    part = read_alone(Part, body["part"])
    at = index_of(job.sheet.part, mark=part.mark) if body["again"] else None
    return with_sheet(job, part=put(job.sheet.part, part, at))


REGISTERED = kind(
    "part registered",
    "A part was entered with its mark; or again, with what is now known of it.",
    (
        Word(
            "part",
            "its table as in [[part]] of job.toml: mark, kind, maker, batch, ...",
            required=True,
            shape=Shape.TABLE,
        ),
        Word("again", "yes: in place of what was said of the part with this mark", shape=Shape.YES),
    ),
    role=Role.BUILDER,
    draft=_registered,
    apply=_put_part,
)


def _assigned(job: Job, words: Words, who: Who) -> Body:
    home = _home(job, words["at"])
    role, marks = words["as"], list(words.get("parts", []))
    possible = ROLES if home.place is Place.CYLINDER else (SHELLS,)
    if role not in possible:
        what = f"'{excerpt(role)}' is no place in a {home.place}."
        raise refusal("as", Problem("assign-as", what, listed(possible, "Possible")))
    if role != SHELLS and len(marks) > 1:
        raise refusal(
            "parts", Problem("assign-several", f"one {role} goes in {home}, and {len(marks)} are named.", "Name one.")
        )
    body = {"at": str(home), "as": role, "parts": marks, **_in_return(job, home, words)}
    after = _put_assigned(job, body)
    records = after.sheet.cylinder if home.place is Place.CYLINDER else after.sheet.main
    number = index_of(records, number=home.number)
    try:
        check_whole(after, f"{home.place} {(number or 0) + 1}", "parts")
    except BlockwrightError as error:
        raise in_words(replace(each, place=replace(each.place, field="parts")) for each in error.problems) from None
    return body


def _in_return(job: Job, home: Position, words: Words) -> Mapping[str, Any]:
    """Of a swap: where the parts that are in this place go. Raises BlockwrightError where the others leave no place for them.

    A mark that nothing bears is left to the check of the whole.
    """
    marks = list(words.get("parts", []))
    if not words.get("swap") or any(mark not in job.parts for mark in marks):
        return {}
    left = {job.home(mark) for mark in marks}
    one = left.pop() if len(left) == 1 else None
    if one is None or one == home or one.place is not home.place:
        what = f"{' and '.join(map(excerpt, marks)) or 'nothing'} leaves no other {home.place} that could be filled in return."
        raise refusal(
            "swap", Problem("assign-swap", what, "Name what is in another place now, or put it in without a swap.")
        )
    return {"in_return": {"at": str(one), "parts": _held(job, home, words["as"])}}


def _held(job: Job, at: Position, role: str) -> list[str]:
    """Marks of what is in a place now."""
    held = getattr(job.in_cylinder(at.number) if at.place is Place.CYLINDER else job.in_main(at.number), role)
    return list(held) if role == SHELLS else [held] if held else []


def _home(job: Job, at: str) -> Position:
    known = {str(each): each for place in (Place.CYLINDER, Place.MAIN) for each in job.engine.positions(place)}
    found = known.get(at.lower())
    if found is None:
        raise refusal(
            "at",
            Problem("at-unknown", f"this engine has no '{excerpt(at)}'.", meant_place(at, list(known), "Possible")),
        )
    return found


def _put_assigned(job: Job, body: Body) -> Job:
    """What is named goes to its place, and leaves the one where it was; what was in that place is free again, or goes there in return."""
    after = _put_one(job, body["at"], body["as"], body["parts"])
    other = body.get("in_return")
    return _put_one(after, other["at"], body["as"], other["parts"]) if other else after


def _put_one(job: Job, to: str, role: str, parts: Sequence[str]) -> Job:
    named = set(parts)
    cylinders = [_without(each, named, ROLES) for each in job.sheet.cylinder]
    mains = [_without(each, named, (SHELLS,)) for each in job.sheet.main]
    place, _, number = to.partition(" ")
    marks = tuple(parts)
    said: dict[str, Any] = {role: marks if role == SHELLS else "".join(marks)}
    if place == Place.CYLINDER:
        at = index_of(cylinders, number=int(number))
        cylinder = CylinderParts(number=int(number)) if at is None else cylinders[at]
        cylinders = list(put(tuple(cylinders), changed(cylinder, **said), at))
    else:
        at = index_of(mains, number=int(number))
        main = MainParts(number=int(number)) if at is None else mains[at]
        mains = list(put(tuple(mains), changed(main, **said), at))
    return _with_changed(job, tuple(cylinders), tuple(mains))


def _with_changed(job: Job, cylinders: tuple[CylinderParts, ...], mains: tuple[MainParts, ...]) -> Job:
    """Only the list that has changed, so that the other keeps what was typed."""
    fields: dict[str, Any] = {}
    if cylinders != job.sheet.cylinder:
        fields["cylinder"] = cylinders
    if mains != job.sheet.main:
        fields["main"] = mains
    return with_sheet(job, **fields)


def _without(each: Any, marks: set[str], roles: tuple[str, ...]) -> Any:
    empty: dict[str, Any] = {}
    for role in roles:
        held = getattr(each, role)
        if role == SHELLS and marks & set(held):
            empty[role] = ()
        elif role != SHELLS and held in marks:
            empty[role] = ""
    return changed(each, **empty) if empty else each


ASSIGNED = kind(
    "part assigned",
    "A part was put into its cylinder or main bearing; it leaves its old place, and what was there is free again, or goes to that place in return.",
    (
        Word("at", "cylinder 3, or main 2", required=True),
        Word("as", "piston, pin, rings, rod or shells", required=True),
        Word(
            "parts",
            "mark of the part; of shells the upper and the lower; none to take out what is there",
            shape=Shape.LIST,
        ),
        Word("swap", "yes: what is there goes to the place that the part leaves, in the same act", shape=Shape.YES),
    ),
    role=Role.BUILDER,
    draft=_assigned,
    apply=_put_assigned,
)

KINDS = (REGISTERED, ASSIGNED)
