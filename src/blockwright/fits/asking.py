"""Which fit at which position a builder means, from what he typed."""

from __future__ import annotations

import difflib

from blockwright.engine.job import Job
from blockwright.engine.positions import Position
from blockwright.fits.fit import Fit
from blockwright.fits.registry import REGISTRY, nearest
from blockwright.problems import BlockwrightError, Problem, excerpt


def asked(job: Job, fit_name: str, position_text: str) -> tuple[Fit, Position]:
    """The fit and position meant; an error that names the nearest where there is none."""
    fit = REGISTRY.get(fit_name.strip().lower())
    if fit is None:
        near = nearest(fit_name)
        raise _error(
            "fit-unknown",
            f"there is no fit '{excerpt(fit_name)}'.",
            f"Did you mean '{near}'?" if near else "See 'blockwright fits JOB --all'.",
        )
    if not fit.applies(job.engine):
        raise _error(
            "fit-elsewhere", f"this engine has no {fit.name} (its pins are {job.engine.pin}).", "Name another fit."
        )
    positions = fit.positions(job.engine)
    if len(positions) == 1 and not position_text:
        return fit, positions[0]
    known = {str(each): each for each in positions} | {each.label: each for each in positions}
    found = known.get(" ".join(position_text.lower().split()))
    if found is None:
        close = difflib.get_close_matches(position_text, [str(each) for each in positions], n=1, cutoff=0.5)
        listed = ", ".join(str(each) for each in positions)
        unknown = f"{fit.name} has no position '{excerpt(position_text)}'."
        what = unknown if position_text else f"{fit.name}: at which {fit.place}?"
        raise _error(
            "at-unknown", what, f"Did you mean '{close[0]}'? Possible: {listed}." if close else f"Possible: {listed}."
        )
    return fit, found


def _error(code: str, what: str, mend: str) -> BlockwrightError:
    return BlockwrightError(Problem(code, what, mend))
