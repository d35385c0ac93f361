"""All steps of an engine, subject by subject; and what waits for the whole of a pass."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from blockwright.choices.route.content.case import steps as case_steps
from blockwright.choices.route.content.covers import steps as covers_steps
from blockwright.choices.route.content.crank import steps as crank_steps
from blockwright.choices.route.content.dry import steps as dry_steps
from blockwright.choices.route.content.facts import Facts, facts_of
from blockwright.choices.route.content.first_start import last_steps
from blockwright.choices.route.content.first_start import steps as first_start_steps
from blockwright.choices.route.content.inspection import steps as inspection_steps
from blockwright.choices.route.content.pistons import steps as pistons_steps
from blockwright.choices.route.content.rods import steps as rods_steps
from blockwright.choices.route.content.timing import steps as timing_steps
from blockwright.choices.route.content.top_end import steps as top_end_steps
from blockwright.choices.route.content.washing import steps as washing_steps
from blockwright.choices.route.step import Step
from blockwright.engine.job import Job

Maker = Callable[[Facts], Iterator[Step]]
MOCK_UP: tuple[Maker, ...] = (inspection_steps, dry_steps)
FINAL: tuple[Maker, ...] = (
    case_steps,
    rods_steps,
    crank_steps,
    pistons_steps,
    top_end_steps,
    timing_steps,
    covers_steps,
    first_start_steps,
)


def steps_for(job: Job) -> tuple[Step, ...]:
    """Every step of a job's assembly: mock-up, strip and wash, final assembly to first oil. Each key is there once."""
    facts = facts_of(job)
    mock_up = [step for make in MOCK_UP for step in make(facts)]
    washed = list(washing_steps(facts, ends_of(mock_up)))
    final = [_behind(step, washed[-1].key) for make in FINAL for step in make(facts)]
    last = list(last_steps(facts, ends_of(final)))
    return (*mock_up, *washed, *final, *last)


def ends_of(steps: list[Step]) -> tuple[str, ...]:
    """The steps that none of the others waits for."""
    waited = {key for step in steps for key in (*step.after, step.within)}
    return tuple(step.key for step in steps if step.key not in waited)


def _behind(step: Step, key: str) -> Step:
    """A step that waits for nothing waits for the wash."""
    return step if step.after else replace(step, after=(key,))
