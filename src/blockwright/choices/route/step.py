"""What a step of the route is: what it needs, what to do, and the evidence without which it cannot be signed.

Steps are made by `content` from the job, changed by the builder in `job.toml`, joined to a graph by `graph` and followed by `progress`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from blockwright.engine.positions import Position
from blockwright.engine.steps import Proof

__all__ = ["Evidence", "Pass", "Proof", "Step"]


class Pass(StrEnum):
    """The passes of an engine through the builder's hands, in their order."""

    MOCK_UP = "mock-up"
    STRIP = "strip and wash"
    FINAL = "final assembly"


@dataclass(frozen=True)
class Evidence:
    """One thing that must be there before a step can be signed.

    For a fit `what` is its name in the registry and `at` its position; for a count and for paint marks `number` is what must be counted.
    """

    proof: Proof
    what: str
    at: Position | None = None
    number: int | None = None


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step of the assembly. `key` is unique, stable and readable: `final: piston 3`; `group` is the heading it stands under.

    `after` are the keys of the steps that must be signed before. A step with `evidence` is a hold point. `open_time_s` starts a sealant's clock
    when the step is signed; `within` names the step whose clock this one must keep. `closes` names what can no longer be measured or done after
    this one: a step by its key, a fit as `main film, main 3`, or as `main film` for every position.
    """

    key: str
    stage: Pass
    name: str
    group: str
    at: Position | None = None
    after: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    consumables: tuple[str, ...] = ()
    do: tuple[str, ...] = ()
    facing: tuple[str, ...] = ()
    lubricant: str = ""
    torque: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    open_time_s: float | None = None
    within: str = ""
    closes: tuple[str, ...] = ()
