"""The fits of a sheet: every one at every position, and first of all those that are not settled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from blockwright.choices.settle import settle
from blockwright.engine.job import Job
from blockwright.engine.positions import Position
from blockwright.engine.rules import Authority
from blockwright.fits.assessment import Assessment, FitResult, Standing
from blockwright.fits.limits import Bound
from blockwright.fits.practice import NO_SOURCE
from blockwright.report.fineness import limits_fineness
from blockwright.report.rows import Block, Row, limits_text, value_alone
from blockwright.report.slot import Mark, standing_said, svg_mark

MARK_WIDTH, MARK_HEIGHT = 150, 20


@dataclass(frozen=True)
class FitRow:
    """One fit at one position. `picture` names its mark, `says` what the picture shows; `limits` and `who` only where positions differ."""

    at: str
    value: str
    picture: str
    says: str
    words: str
    standing: str
    limits: str
    who: str


@dataclass(frozen=True)
class FitBlock:
    """One kind of fit; `notes` are what there is to remark, each with where."""

    name: str
    unit: str
    limits: str
    who: str
    rows: tuple[FitRow, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class FitGroup:
    """The fits of one part of the engine."""

    name: str
    blocks: tuple[FitBlock, ...]


@dataclass(frozen=True)
class Unsettled:
    """A fit that is out, cannot be told, or was signed for; `todo` is what would put it right or settle it, or who signed, as `todo_label` says."""

    name: str
    value: str
    limits: str
    picture: str
    says: str
    words: str
    standing: str
    todo_label: str
    todo: str


@dataclass(frozen=True)
class Waiting:
    """A place where fits wait for readings, and which."""

    at: str
    fits: str


def mark_name(row: FitResult) -> str:
    """The name of a fit's picture."""
    return f"mark/{row.fit.name}/{row.position}"


def fit_groups(listed: Sequence[Block]) -> tuple[FitGroup, ...]:
    """Every fit, in the order of the registry."""
    return tuple(
        FitGroup(name, tuple(_block(block) for block in each))
        for name, each in groupby(listed, key=lambda block: block.fit.group)
    )


def marks(listed: Sequence[Block]) -> dict[str, str]:
    """The slot-and-pin picture of every fit that has limits, by name."""
    found = {}
    for block in listed:
        for row in block.rows:
            mark = _mark(row)
            if mark is not None:
                found[mark_name(row.result)] = svg_mark(mark, MARK_WIDTH, MARK_HEIGHT)
    return found


def _mark(row: Row) -> Mark | None:
    """The mark of a row; of one that is not read yet, the empty slot."""
    limits = row.result.limits
    if row.mark is not None:
        return row.mark if limits.known else None
    return Mark(limits.low_value, limits.high_value, limits.aim, 0.0, 0.0, str(Standing.OPEN)) if limits.known else None


def _block(block: Block) -> FitBlock:
    whose = {_who(row.result) for row in block.rows}
    shared = len(whose) == 1 and block.limits != "limits by position"
    rows = tuple(_row(block, row, shared) for row in block.rows)
    limited = any(row.result.limits.known for row in block.rows)
    limits = block.limits if shared or not limited else "limits by position"
    return FitBlock(block.fit.name, block.unit, limits, whose.pop() if shared else "", rows, _notes(block))


def _row(block: Block, row: Row, shared: bool) -> FitRow:
    result = row.result
    mark = _mark(row)
    fineness = limits_fineness([each.result for each in block.rows], block.unit)
    missing = len(result.missing)
    return FitRow(
        at=row.at,
        value=row.value,
        picture=mark_name(result) if mark else "",
        says=standing_said(mark) if mark else "",
        words=result.words if result.found else f"open: {missing} still to read" if missing else "open",
        standing=standing(result),
        limits="" if shared else limits_text(result.limits, block.fit, block.unit, fineness),
        who="" if shared else _who(result),
    )


def standing(result: FitResult) -> str:
    """The standing; `accepted` where somebody signed for it."""
    return "accepted" if result.record else str(result.standing)


def _who(result: FitResult) -> str:
    """Who says so, each side's authority with its source, once."""
    bounds = [bound for bound in (result.limits.low, result.limits.high) if bound is not None]
    return " / ".join(dict.fromkeys(_said_by(bound) for bound in bounds))


def _said_by(bound: Bound) -> str:
    """`part maker: sheet 12`, `common practice: forged piston; no source, from memory`."""
    source = bound.source.replace(
        f" ({NO_SOURCE})", NO_SOURCE.removeprefix(f"{Authority.PRACTICE}").replace(",", ";", 1)
    )
    return str(bound.authority) if source in ("", str(bound.authority)) else f"{bound.authority}: {source}"


def _notes(block: Block) -> tuple[str, ...]:
    """What there is to remark of a fit, the same remark once, with the positions that it is made of unless they are all."""
    where: dict[str, list[str]] = {}
    for row in block.rows:
        for note in (*row.result.notes, *(row.result.found.notes if row.result.found else ())):
            where.setdefault(note, []).append(row.at)
    return tuple(note if len(at) == len(block.rows) else f"{together(at)}: {note}" for note, at in where.items())


def together(at: Sequence[str]) -> str:
    """Places in few words.

    >>> together(["cylinder 1", "cylinder 3"]), together(["main 2", "engine"])
    ('cylinder 1, 3', 'main 2, engine')
    """
    heads = {text.rpartition(" ")[0] for text in at}
    if len(heads) > 1 or heads == {""}:
        return ", ".join(at)
    return f"{heads.pop()} {', '.join(text.rpartition(' ')[2] for text in at)}"


def unsettled(job: Job, listed: Sequence[Block]) -> tuple[Unsettled, ...]:
    """What is out or cannot be told, hard sides first, then what was signed for."""
    found = []
    for block in listed:
        for row in block.rows:
            result = row.result
            if result.standing in (Standing.NONCONFORMING, Standing.UNDECIDED):
                found.append((_weight(result), _unsettled(job, row)))
    return tuple(each for _, each in sorted(found, key=lambda item: item[0]))


def _weight(result: FitResult) -> int:
    if result.record is not None:
        return 3
    return 2 if result.standing is Standing.UNDECIDED else 0 if result.hard else 1


def _unsettled(job: Job, row: Row) -> Unsettled:
    result, mark = row.result, _mark(row)
    limits = limits_text(result.limits, result.fit, row.unit, limits_fineness([result], row.unit))
    name = f"{result.fit.name}, {result.position}" if result.position.label else result.fit.name
    return Unsettled(
        name, value_alone(result, row.unit), limits, mark_name(result) if mark else "", standing_said(mark) if mark else "",
        result.words, standing(result), *_todo(job, result),
    )  # fmt: skip


def _todo(job: Job, result: FitResult) -> tuple[str, str]:
    record = result.record
    if record is not None:
        when = f" on {record.when}" if record.when else ""
        return f"{record.event}:", f"{record.by}{when}: {record.why}"
    if result.standing is Standing.UNDECIDED:
        return "to settle it:", settle(job, result)
    return "to put it right:", result.mend


def waiting(assessment: Assessment) -> tuple[Waiting, ...]:
    """Where fits wait for readings; places where the same wait stand together."""
    there: dict[Position, list[str]] = {}
    for result in assessment.results:
        if result.standing is Standing.OPEN:
            there.setdefault(result.position, []).append(result.fit.name)
    alike: dict[tuple[str, ...], list[str]] = {}
    for at, names in sorted(there.items(), key=lambda item: item[0].sort_key):
        alike.setdefault(tuple(names), []).append(str(at))
    return tuple(Waiting(together(places), ", ".join(names)) for names, places in alike.items())
