"""All rings of a kind on one wheel, in one joint posterior of gaps, ring rates, the kind's rate and the scatter of passes.

The gap after a pass is the gap before the next one: it is carried in the ring's state, so each reading is used once. Given the kind's rate, the
spread between rings and the scatter (`grid`), rings are independent, so

    weight of (K, T, S)  =  prior  x  product over rings of  sum over R of  p(R | K, T) L_ring(R, S),

and a ring is weighed with what the *others* say of the kind, times its own evidence. A new wheel is a new pool: only what is known
of a ring's gap goes over to it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np

from blockwright.choices.filing.grid import USUAL_FINENESS, Fineness, grid
from blockwright.choices.filing.model import USUAL_PRIOR, Between, RatePrior, Reading, Step
from blockwright.choices.filing.nodes import Array, Nodes
from blockwright.choices.filing.view import RingView


@dataclass(frozen=True)
class RingRecord:
    """One ring: its state, what it says of its kind, the passes it has had, whether it was read since, and the last reading."""

    nodes: Nodes
    says_of_kind: Array
    passes: int
    read: bool
    last: Reading | Between | None


@dataclass(frozen=True)
class Belief:
    """What is thought of the rings of one kind on one wheel. Never changed: `after` gives a new one."""

    prior: RatePrior = USUAL_PRIOR
    fineness: Fineness = USUAL_FINENESS
    rings: Mapping[str, RingRecord] = field(default_factory=dict)

    def after(self, *steps: Step, forgiving: bool = False) -> Belief:
        """What is thought once these looks are known too.

        `forgiving` : the passes are not believed. The gap is taken from the new readings alone, and no rate is learnt from the growth.

        Raises ValueError for a first look with units before it or without a reading, a later one without units, and a pass that
        should be forgiven but was not followed by a reading.
        """
        belief = self
        for step in steps:
            belief = belief._after_one(step, forgiving)
        return belief

    def ring(self, name: str) -> RingView:
        """One ring as all that is known shows it. Raises ValueError for a ring that nobody has looked at."""
        return RingView(self.record(name).nodes, grid(self.prior, self.fineness).of_ring(self._kind(but=name)))

    def record(self, name: str) -> RingRecord:
        """What is kept of a ring. Raises ValueError for a ring that nobody has looked at."""
        if name not in self.rings:
            raise ValueError(f"ring {name}: nothing has been read yet")
        return self.rings[name]

    def unfiled(self) -> RingView:
        """A ring of this kind that nobody has looked at: its rate, from all the others. Its gap means nothing yet."""
        here = grid(self.prior, self.fineness)
        return RingView(here.blank(), here.of_ring(self._kind()))

    def taking_over(self, name: str, other: Belief) -> Belief:
        """With a ring that comes from another wheel: its gap and its passes are known here, its rate on this wheel is not.

        What it taught here on an earlier visit is kept, as though by another ring.
        """
        record, here = other.record(name), grid(self.prior, self.fineness)
        mean, cov = _moments(other.ring(name))
        blank = here.blank()
        size = blank.log_evidence.size
        nodes = replace(
            blank,
            mean=np.repeat(mean[:, None], size, axis=-1),
            cov=np.repeat(cov[:, :, None], size, axis=-1),
            gauges=record.nodes.gauges,
        )
        rings = dict(self.rings)
        earlier = rings.pop(name, None)
        if earlier is not None:
            rings[f"{name} until pass {earlier.passes}"] = earlier
        rings[name] = replace(record, nodes=nodes, says_of_kind=here.of_kind(nodes.log_evidence))
        return replace(self, rings=rings)

    def _after_one(self, step: Step, forgiving: bool) -> Belief:
        known = self.rings.get(step.ring)
        _check_order(step, known, forgiving)
        here = grid(self.prior, self.fineness)
        nodes = here.blank() if known is None else known.nodes.filed(step.units)
        readings = step.readings
        if known is None or forgiving:
            nodes, readings = nodes.anew(readings[0]), readings[1:]
        for reading in readings:
            nodes = nodes.seen(reading)
        record = RingRecord(
            nodes=nodes,
            says_of_kind=here.of_kind(nodes.log_evidence),
            passes=0 if known is None else known.passes + 1,
            read=bool(step.readings),
            last=step.readings[-1] if step.readings else known.last if known else None,
        )
        return replace(self, rings={**self.rings, step.ring: record})

    def _kind(self, but: str | None = None) -> Array:
        """Log weight of (T, K, S) from all rings but one."""
        weight = grid(self.prior, self.fineness).log_prior
        for name, record in self.rings.items():
            if name != but:
                weight = weight + record.says_of_kind
        return weight


class PoolKey(NamedTuple):
    """A kind of ring (top, second ...) on a wheel of the grinder: what shares a rate."""

    kind: str
    wheel: str = ""


@dataclass(frozen=True)
class Filing:
    """All pools of a job. A ring that is filed on another wheel goes over to that wheel's pool."""

    prior: RatePrior = USUAL_PRIOR
    pools: Mapping[PoolKey, Belief] = field(default_factory=dict)
    homes: Mapping[str, PoolKey] = field(default_factory=dict)

    def pool(self, key: PoolKey) -> Belief:
        """The belief of a pool; one that knows nothing for a new kind or a new wheel."""
        return self.pools.get(key, Belief(self.prior))

    def at(self, key: PoolKey, ring: str) -> Belief:
        """The belief that the ring's next step on this wheel is judged by."""
        belief, home = self.pool(key), self.homes.get(ring)
        if home is None or home == key:
            return belief
        if home.kind != key.kind:
            raise ValueError(f"ring {ring} was filed as {home.kind} and cannot be {key.kind} too")
        return belief.taking_over(ring, self.pools[home])

    def after(self, key: PoolKey, step: Step, *, forgiving: bool = False) -> Filing:
        """What is thought once this look, on this wheel, is known too."""
        belief = self.at(key, step.ring).after(step, forgiving=forgiving)
        return replace(self, pools={**self.pools, key: belief}, homes={**self.homes, step.ring: key})


def _check_order(step: Step, known: RingRecord | None, forgiving: bool) -> None:
    if known is None and (step.units or not step.readings):
        raise ValueError(f"ring {step.ring}: read its gap before the first pass")
    if known is not None and not step.units:
        raise ValueError(
            f"ring {step.ring}: no units were filed before this second reading; repeats belong to the look before"
        )
    if known is not None and forgiving and not step.readings:
        raise ValueError(f"ring {step.ring}: a pass can be left out only if the gap was read after it")


def _moments(view: RingView) -> tuple[Array, Array]:
    """Mean and covariance of a ring's state over all nodes."""
    mean = view.nodes.mean @ view.weight
    off = view.nodes.mean - mean[:, None]
    return mean, (view.nodes.cov + off[:, None] * off) @ view.weight
