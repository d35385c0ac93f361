"""An assessment as JSON: SI numbers with their unit in the name, nothing rounded, nothing that is only shown."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import Any

from blockwright import __version__
from blockwright.choices.next_steps import NextStep
from blockwright.fits.assessment import Assessment, FitResult, OrderResult
from blockwright.fits.limits import Bound
from blockwright.metrology.verdict import expanded
from blockwright.quantities import Kind
from blockwright.report.story import Story
from blockwright.report.work.as_json import at_work_json
from blockwright.running.work.result import Work

UNIT = {Kind.LENGTH: "m", Kind.ROUGHNESS: "m", Kind.TORQUE: "N m", Kind.PRESSURE_STEP: "Pa"}
FORMAT = "blockwright assessment 1"


def dumps(value: Any, *, ascii: bool = False) -> str:
    """JSON text, escaped to plain letters if `ascii`; numbers that are not finite are refused, since no reader would take them."""
    return json.dumps(value, indent=2, ensure_ascii=ascii, allow_nan=False)


def assessment_json(assessment: Assessment, steps: Sequence[NextStep]) -> dict[str, Any]:
    """The whole assessment."""
    job = assessment.job
    return {
        "format": FORMAT,
        "program": f"blockwright {__version__}",
        "job": job.sheet.job,
        "engine": job.engine.name,
        "invented": job.sheet.invented,
        "rule": {"level": job.rules.level, "acceptance": job.rules.acceptance},
        "fits": [result_json(result) for result in assessment.results],
        "orders": [_order(result) for result in assessment.orders],
        "noticed": [
            {"code": flag.code, "text": flag.text, "mend": flag.mend, "readings": list(flag.readings)}
            for flag in assessment.flags
        ],
        "next": [{"what": step.what, "how": step.how, "why": step.rank.name.lower()} for step in steps],
    }


def result_json(result: FitResult) -> dict[str, Any]:
    """One fit at one position."""
    found = result.found
    return {
        "fit": result.fit.name,
        "at": str(result.position),
        "standing": str(result.standing),
        "words": result.words,
        "unit": UNIT[result.fit.kind],
        "value": result.estimate.value if found else None,
        "standard_uncertainty": result.estimate.u if found else None,
        "degrees_of_freedom": _finite(result.estimate.dof) if found else None,
        "expanded_uncertainty_95": expanded(result.estimate) if found else None,
        "low": _bound(result.limits.low),
        "aim": result.limits.aim,
        "high": _bound(result.limits.high),
        "chances": result.chances and {name: getattr(result.chances, name) for name in ("below", "inside", "above")},
        "governs": found.governs if found else "",
        "readings": sorted({reading.id for _, size in found.sizes for reading in size.readings}) if found else [],
        "missing": list(result.missing),
        "remedy": result.mend,
        "notes": [*result.notes, *(found.notes if found else ())],
        "signed": result.record and {"event": result.record.event, "by": result.record.by, "why": result.record.why},
    }


def story_json(result: FitResult, story: Story, work: Work | None = None) -> dict[str, Any]:
    """One fit with its budget and the sources of its limits; `work`: the engine at work, where that was worked out."""
    estimate = result.estimate if result.found else None
    return {
        **result_json(result),
        "formula": story.formula,
        "budget": [
            {
                "cause": str(source.cause),
                "owner": source.owner,
                "u": abs(share.u),
                "dof": _finite(share.dof),
                "flat": share.flat,
            }
            for source, share in (estimate.budget if estimate else ())
        ],
        "sources": [{"text": text, "decides": decides} for text, decides in story.sources],
        "settle": story.settle,
        "formulas": [each.name for each in story.formulas],
        "at_work": work and at_work_json(work, result.fit.name, str(result.position)),
    }


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _bound(bound: Bound | None) -> dict[str, Any] | None:
    return (
        None
        if bound is None
        else {"value": bound.value, "authority": bound.authority, "source": bound.source, "hard": bound.hard}
    )


def _order(result: OrderResult) -> dict[str, Any]:
    return {
        "part": result.order.part,
        "feature": result.order.feature,
        "at": result.at,
        "work": result.order.work,
        "low_m": result.order.low_si,
        "high_m": result.order.high_si,
        "standing": str(result.standing),
        "spot": result.spot,
        "value": result.estimate.value if result.estimate else None,
    }
