"""What can be done at a fit: sign for it, where it needs that, and write down or strike out a limit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from blockwright.bench.act_fields import ActField, Option, fields_of
from blockwright.engine.job import Job
from blockwright.engine.rules import Authority, LimitRule
from blockwright.fits.assess import EVENT_FOR
from blockwright.fits.assessment import FitResult
from blockwright.jobfile.toml_write import plain
from blockwright.report.rows import wanted_unit

GIVEN = (Authority.BUILDER, Authority.MAKER, Authority.MANUAL)
"""Who may be named for a limit: what practice or a computation says is the program's own."""
LIMIT_KEYS = ("authority", "source", "low", "aim", "high", "hard", "why")
REASON = {
    "concession": (
        "Sign a concession",
        "It is out, and you let it through. The record keeps your name, the value and the reason; it stays out on every sheet.",
    ),
    "judgement": (
        "Accept on judgement",
        "The gauge cannot tell, and you decide. The record keeps your name, the value and the reason.",
    ),
}


@dataclass(frozen=True)
class Signing:
    """How a fit can be signed for: the act, the words on its button and what it means."""

    act: str
    label: str
    meaning: str


@dataclass(frozen=True)
class OwnLimit:
    """A limit of the job that can be struck out: what it says, and the words of the act."""

    words: str
    fields: tuple[tuple[str, str], ...]


def forms(job: Job, result: FitResult) -> dict[str, Any]:
    """The context of the forms."""
    return {
        "signing": signing(result),
        "needless": needless(result),
        "limit_fields": limit_fields(job, result),
        "own_limits": list(own_limits(job, result)),
    }


def signing(result: FitResult) -> Signing | None:
    """How the fit is signed for; None where there is nothing to sign for."""
    event = EVENT_FOR.get(result.standing)
    if event is None or result.record is not None:
        return None
    return Signing(str(event), *REASON[str(event)])


def needless(result: FitResult) -> str:
    """Why there is nothing to sign for, in words."""
    if result.record is not None:
        when = f" on {result.record.when}" if result.record.when else ""
        return f"Signed by {result.record.by}{when}; nothing has changed since."
    return "" if result.standing in EVENT_FOR else f"There is nothing to sign for: {result.words}."


def limit_fields(job: Job, result: FitResult) -> tuple[ActField, ...]:
    """Fields for a limit, bare numbers in the shop's unit for this fit."""
    unit = wanted_unit(job, result.fit)
    who: list[Option] = [(str(each), str(each)) for each in GIVEN]
    made = fields_of(
        LimitRule, "limit", LIMIT_KEYS, {"authority": str(Authority.BUILDER)}, {"authority": who}, dict.fromkeys(("low", "aim", "high"), unit)
    )  # fmt: skip
    where: list[Option] = [(str(result.position), str(result.position)), ("", "every position")]
    at = fields_of(LimitRule, "limit", ("at",), {"at": str(result.position)}, {"at": where})
    return (*made[:1], *(at if result.position.label else ()), *made[1:])


def own_limits(job: Job, result: FitResult) -> Iterator[OwnLimit]:
    """The job's own limits for this fit here."""
    for rule in job.sheet.limit:
        if rule.fit == result.fit.name and rule.at in ("", str(result.position)):
            table = plain(rule)
            sides = [name for name in table if name.startswith(("low", "aim", "high"))]
            said = ", ".join(f"{name.replace('_per_size', ' per size')} {table[name]}" for name in sides)
            where = f" at {rule.at}" if rule.at else " at every position"
            source = f", {rule.source}" if rule.source else ""
            named = {name: table[name] for name in ("fit", "at", "authority", "source", "by", "why") if table.get(name)}
            yield OwnLimit(
                f"{rule.authority}{source}{where}: {said or 'by its table'}",
                tuple((f"limit.{key}", str(value)) for key, value in named.items()),
            )
