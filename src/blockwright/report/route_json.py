"""The whole state of the route for machines, one form for `blockwright route show --json` and the API.

Seconds and SI numbers, nothing that is only shown.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from blockwright import __version__
from blockwright.choices.route.evidence import lacking, looked_at, will_do
from blockwright.choices.route.graph import evidence_words
from blockwright.choices.route.progress import Clock, Progress, State, StepState
from blockwright.choices.route.step import Evidence, Proof
from blockwright.engine.job import Job
from blockwright.engine.steps import Given, Signing
from blockwright.report.as_json import UNIT

FORMAT = "blockwright route 1"
WORD = {State.DONE: "done", State.NOW: "now", State.WAITS: "waits"}


def route_json(job: Job, progress: Progress, now: dt.datetime) -> dict[str, Any]:
    """Every step with its needs, its state and what it still lacks; clocks as they stand at `now`, last chances, and what is left."""
    left = progress.left
    return {
        "format": FORMAT,
        "program": f"blockwright {__version__}",
        "job": job.sheet.job,
        "engine": job.engine.name,
        "invented": job.sheet.invented,
        "at": now.isoformat(),
        "counts": {
            "steps": len(progress.states),
            **{WORD[state]: len(progress.of(state)) for state in State},
            "left": len(left),
            "hold_points_left": sum(bool(each.step.evidence) for each in left),
        },
        "left": [each.step.key for each in left],
        "clocks": [_clock(clock, now) for clock in progress.clocks],
        "last_chances": [
            {
                "before": chance.step.key,
                "fit": chance.result.fit.name,
                "at": str(chance.result.position),
                "words": chance.result.words,
            }
            for chance in progress.last_chances
        ],
        "open_again": [{"step": each.step.key, "why": list(each.reopened)} for each in progress.reopened],
        "photos_lost": [{"photo": photo, "words": words} for photo, words in progress.standings.lost.items()],
        "signed_under_no_step": list(progress.strangers),
        "steps": [_step(progress, each) for each in progress.states.values()],
    }


def _clock(clock: Clock, now: dt.datetime) -> dict[str, Any]:
    return {
        "step": clock.step.key,
        "began": clock.began.isoformat(),
        "ends": clock.ends.isoformat(),
        "left_s": clock.left_s(now),
        "waiting": list(clock.waiting),
    }


def _step(progress: Progress, state: StepState) -> dict[str, Any]:
    step = state.step
    missing = () if state.done else lacking(step, Given(), "", progress.standings)
    return {
        "key": step.key,
        "name": step.name,
        "pass": step.stage,
        "group": step.group,
        "at": str(step.at) if step.at else "",
        "state": WORD[state.state],
        "hold_point": bool(step.evidence),
        "needs": list(progress.route.needs[step.key]),
        "waits_for": list(state.waits_for),
        "within": step.within,
        "open_time_s": step.open_time_s,
        "closes": list(step.closes),
        "parts": list(step.parts),
        "tools": list(step.tools),
        "uses_up": list(step.consumables),
        "do": list(step.do),
        "which_way_round": list(step.facing),
        "lubricant": step.lubricant,
        "torque": list(step.torque),
        "take_care": list(step.cautions),
        "evidence": [_evidence(progress, state, each) for each in step.evidence],
        "missing": [{"code": each.code, "what": each.what, "mend": each.mend} for each in missing],
        "open_again": list(state.reopened),
        "signed": _signed(state.signing) if state.signing else None,
    }


def _evidence(progress: Progress, state: StepState, asked: Evidence) -> dict[str, Any]:
    told = {
        "proof": asked.proof,
        "what": asked.what,
        "at": str(asked.at) if asked.at else "",
        "number": asked.number,
        "words": evidence_words(asked),
    }
    if asked.proof is not Proof.FIT:
        return told
    result = progress.standings.of(asked.what, asked.at)
    look = looked_at(result, state.signing.given.looks) if state.done and state.signing else None
    return {
        **told,
        "standing": result.standing,
        "will_do": will_do(result) or look is not None,
        "look": look.why if look else "",
        "unit": UNIT[result.fit.kind],
        "value": result.estimate.value if result.found else None,
    }


def _signed(signing: Signing) -> dict[str, Any]:
    given = signing.given
    return {
        "event": signing.event,
        "by": signing.by,
        "when": signing.when.isoformat(),
        "note": signing.note,
        "counts": list(given.counts),
        "photos": list(given.photos),
        "eyes": given.eyes,
        "paint": list(given.paint),
        "looks": [{"what": look.what, "why": look.why} for look in given.looks],
    }
