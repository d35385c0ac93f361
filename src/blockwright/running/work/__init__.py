"""The engine at work: heat, gas, forces and oil films at its duty, on the clearances as measured.

| module | responsibility |
| --- | --- |
| `result` | everything that is told, as plain records |
| `kept` | results kept on disk, by what they rest on |
| `facts`, `alloys` | inputs beside the readings, each with its uncertainty and where it comes from |
| `draws` | readings and inputs drawn together |
| `geometry` | an engine's facts in the shape that the models take |
| `matched` | the cycle that gives the duty's power |
| `heat` | temperatures by a network of ways of heat |
| `loads` | forces on pins, bearings and mains |
| `seats`, `oil_supply`, `bearings`, `bearings_told` | bearings on their measured clearances, their oil, other clearances and oils |
| `rings` | gas in the ring packs |
| `hot`, `piston_shape` | fits when hot, judged |
| `told`, `better` | records and words |
| `trace` | a builder's own pressure |
| `whole` | the one call |
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from blockwright.engine.job import Job
from blockwright.running.work.result import Work

if TYPE_CHECKING:
    from blockwright.running.work.trace import Trace

SAMPLES, SEED = 2000, 6


def work(
    job: Job,
    *,
    samples: int = SAMPLES,
    seed: int = SEED,
    pressure: Trace | None = None,
    progress: Callable[[str, float], None] | None = None,
    processes: int | None = None,
) -> Work:
    """A job's engine at work; see `whole.work`. The models are loaded only when this is called."""
    from blockwright.running.work import whole

    return whole.work(job, samples=samples, seed=seed, pressure=pressure, progress=progress, processes=processes)


__all__ = ["SAMPLES", "SEED", "Work", "work"]
