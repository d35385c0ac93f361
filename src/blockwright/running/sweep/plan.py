"""What a study is made of: the job by its digest, the ranges, and the parts that its cases are worked out in.

A part is a run of cases of a block of duties whose cycles are matched together. Parts hang on the plan alone, not on how many work at it or how
often it was broken off, so that the same plan gives the same rows.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass, fields
from typing import Any

from blockwright import __version__
from blockwright.engine.job import Job
from blockwright.running.sweep.cases import Case, Ranges
from blockwright.running.work.kept import digest_of

FORMAT = "blockwright sweep 1"
VERSION = 1
"""Of what a row holds and how it is worked out; raised with any change that moves its numbers."""
DUTIES = 32
"""Duties whose cycles are matched together."""
PART = 48
"""Most cases of a part: some seconds' work, which is what a break can cost."""
WORDS = {
    "job": "the job's name", "digest": "the job, its readings, or the tables and models behind the calculation", "invented": "whether it is invented",
    "version": "the way rows are worked out", "rings": "whether blow-by is worked out", "format": "the form of the study",
}  # fmt: skip


@dataclass(frozen=True)
class Plan:
    """A study before it is worked out."""

    job: str
    digest: str
    invented: bool
    ranges: Ranges
    rings: bool
    program: str = __version__
    version: int = VERSION
    format: str = FORMAT

    def as_plain(self) -> dict[str, Any]:
        """The plan as JSON holds it."""
        return json.loads(json.dumps(asdict(self)))  # type: ignore[no-any-return]

    @property
    def mark(self) -> str:
        """Digest of all that decides its rows."""
        held = {name: value for name, value in self.as_plain().items() if name != "program"}
        return hashlib.sha256(json.dumps(held, sort_keys=True).encode()).hexdigest()

    def differs(self, held: dict[str, Any]) -> tuple[str, ...]:
        """In what a kept plan is another, in words."""
        own = self.as_plain()
        words = [WORDS[name] for name in WORDS if own[name] != held.get(name)]
        kept = held.get("ranges") if isinstance(held.get("ranges"), dict) else {}
        ranges = [each.name for each in fields(Ranges) if own["ranges"][each.name] != (kept or {}).get(each.name)]
        return (*words, *(name.removesuffix("_rad_s").removesuffix("_pa").replace("_", " ") for name in ranges))


def plan_of(job: Job, ranges: Ranges, *, rings: bool) -> Plan:
    """The plan of a study of a job."""
    return Plan(job.sheet.job, digest_of(job), job.sheet.invented, ranges, rings)


@dataclass(frozen=True)
class Part:
    """A run of cases, by their place among all: from `first` up to `end`, which is not in it. `block` is that of its duties."""

    number: int
    first: int
    end: int
    block: int


def parts_of(listed: Sequence[Case]) -> tuple[Part, ...]:
    """The parts of a study's cases."""
    found: list[Part] = []
    first, seen = 0, 0
    block, before = 0, None
    for index, case in enumerate(listed):
        if case.duty != before:
            before, seen = case.duty, seen + 1
        now = (seen - 1) // DUTIES
        if now != block or index - first == PART:
            found.append(Part(len(found), first, index, block))
            first, block = index, now
    return (*found, Part(len(found), first, len(listed), block)) if len(listed) > first else tuple(found)
