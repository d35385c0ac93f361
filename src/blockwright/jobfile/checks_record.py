"""Faults of signed acceptances against the engine: a position that it does not have."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from blockwright.engine.rules import Record
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.known import Known
from blockwright.jobfile.near import meant_place
from blockwright.problems import Problem
from blockwright.quantities.errors import excerpt


def record_problems(known: Known, records: Sequence[Record]) -> Iterator[Problem]:
    """Faults of the acceptances, in their order."""
    for record in records:
        fit = REGISTRY[record.fit]
        positions = known.positions(fit.place)
        if positions is not None and record.at not in positions:
            what = (
                f"this engine has no '{excerpt(record.at)}' for {fit.name}."
                if record.at
                else f"the row does not say which {fit.place}."
            )
            mend = meant_place(record.at, positions, "Possible")
            yield Problem("at-unknown", what, mend).at(file=record.place.file, line=record.place.line, field="at")
