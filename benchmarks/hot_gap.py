"""Ways to a million hot ring gaps with six uncertain inputs, and to one gap with its uncertainty; every number invented."""

import math
from collections.abc import Callable
from functools import cache
from importlib.util import find_spec

import numpy as np

from blockwright.metrology.estimate import Cause, Estimate, Share, Source, through
from blockwright.physics.expansion import hot_gap_m
from blockwright.running.sampling import sampled

SAMPLES, SEED, BLOCK = 1_000_000, 20, 8_192
DOF = 9.0
INPUTS = {
    "cold gap, m": (0.4e-3, 5e-6),
    "bore, m": (0.086, 4e-6),
    "expansion of the bore, 1/K": (11.2e-6, 0.4e-6),
    "expansion of the ring, 1/K": (11.5e-6, 0.5e-6),
    "temperature of the bore, °C": (120.0, 8.0),
    "temperature of the ring, °C": (210.0, 15.0),
}
NORMALS = tuple(INPUTS.values())
Way = Callable[[], np.ndarray]


def draws_alone(seed: int = SEED) -> list[np.ndarray]:
    """What everything is measured against: six normal inputs drawn, and nothing done with them."""
    rng = np.random.default_rng(seed)
    return [rng.normal(mean, sd, SAMPLES) for mean, sd in NORMALS]


def standard_draws() -> list[np.ndarray]:
    """Not moved to their means, nor stretched."""
    rng = np.random.default_rng(SEED)
    return [rng.standard_normal(SAMPLES) for _ in NORMALS]


def bare_draws() -> None:
    """The least that this generator can do through numpy: standard normal, into a buffer that stays in the cache."""
    rng, buffer = np.random.default_rng(SEED), np.empty((len(NORMALS), BLOCK))
    for _ in range(0, SAMPLES, BLOCK):
        rng.standard_normal(out=buffer)


def whole_arrays(seed: int = SEED) -> np.ndarray:
    return hot_gap_m(*draws_alone(seed))


def blocks_by_hand(dtype: type = np.float64) -> np.ndarray:
    """The formula written out for buffers that are used again, without a look at its ranges; a surplus of the last block is dropped."""
    rng, results = np.random.default_rng(SEED), np.empty(SAMPLES)
    mean, sd = (np.array(column)[:, np.newaxis] for column in zip(*NORMALS, strict=True))
    mean[4:] -= 20.0
    drawn, inputs = np.empty((len(NORMALS), BLOCK), dtype), np.empty((len(NORMALS), BLOCK))
    for start in range(0, SAMPLES, BLOCK):
        part = results[start : start + BLOCK]
        rng.standard_normal(out=drawn, dtype=dtype)
        np.multiply(drawn, sd, out=inputs)
        np.add(inputs, mean, out=inputs)
        gap, bore, of_bore, of_ring, bore_k, ring_k = inputs
        np.multiply(of_bore, bore_k, out=of_bore)
        np.multiply(of_ring, ring_k, out=of_ring)
        np.subtract(of_bore, of_ring, out=of_bore)
        np.multiply(bore, math.pi, out=bore)
        np.multiply(bore, of_bore, out=bore)
        np.multiply(of_ring, gap, out=of_ring)
        np.add(gap, of_ring, out=gap)
        np.add(gap[: len(part)], bore[: len(part)], out=part)
    return results


def in_float32() -> np.ndarray:
    """Draws with 24 bits: each is off by less than 1e-6 of its standard deviation, where a million of them leave the mean 1e-3 in doubt."""
    return blocks_by_hand(np.float32)


def the_program(samples: int = SAMPLES, seed: int | np.random.SeedSequence = SEED) -> np.ndarray:
    return sampled(hot_gap_m, NORMALS, samples, seed)


def compiled() -> Way:
    """One loop over everything, compiled by numba, drawing from numpy's generator."""
    from numba import njit

    @njit
    def loop(rng, mean, sd, results):  # type: ignore[no-untyped-def]
        for i in range(results.size):
            gap = mean[0] + sd[0] * rng.standard_normal()
            bore = mean[1] + sd[1] * rng.standard_normal()
            of_bore = mean[2] + sd[2] * rng.standard_normal()
            of_ring = mean[3] + sd[3] * rng.standard_normal()
            bore_growth = of_bore * (mean[4] + sd[4] * rng.standard_normal() - 20.0)
            ring_growth = of_ring * (mean[5] + sd[5] * rng.standard_normal() - 20.0)
            results[i] = gap + gap * ring_growth + math.pi * bore * (bore_growth - ring_growth)

    mean, sd = (np.array(column) for column in zip(*NORMALS, strict=True))

    def way() -> np.ndarray:
        results = np.empty(SAMPLES)
        loop(np.random.default_rng(SEED), mean, sd, results)
        return results

    way()
    return way


def openturns() -> Way:
    import openturns as ot

    names = ["s", "D", "ab", "ar", "Tb", "Tr"]
    formula = ot.SymbolicFunction(names, ["s + s * ar * (Tr - 20) + pi_ * D * (ab * (Tb - 20) - ar * (Tr - 20))"])
    inputs = ot.JointDistribution([ot.Normal(mean, sd) for mean, sd in NORMALS])

    def way() -> np.ndarray:
        ot.RandomGenerator.SetSeed(SEED)
        return np.asarray(formula(inputs.getSample(SAMPLES))).ravel()

    return way


@cache
def ways() -> dict[str, Way]:
    """Those that can be had here, by the words of their row."""
    here: dict[str, Way] = {
        "numpy, whole arrays": whole_arrays,
        "numpy, blocks, written out by hand": blocks_by_hand,
        "the same, drawn in float32": in_float32,
        "the program's sampler": the_program,
    }
    if find_spec("numba"):
        here["a compiled loop (numba)"] = compiled()
    if find_spec("openturns"):
        here["OpenTURNS"] = openturns()
    return here


def gap_of(s, D, ab, ar, Tb, Tr):  # type: ignore[no-untyped-def]
    """As the libraries for uncertain numbers take it, which know no arrays and no ranges."""
    return s + s * ar * (Tr - 20.0) + math.pi * D * (ab * (Tb - 20.0) - ar * (Tr - 20.0))


def first_order() -> dict[str, Callable[[], tuple[float, ...]]]:
    """One gap to first order, from inputs made beforehand: its value and standard uncertainty, and degrees of freedom where there are any."""
    import GTC
    import uncertainties

    for_gtc = [GTC.ureal(mean, sd, DOF) for mean, sd in NORMALS]
    for_uncertainties = [uncertainties.ufloat(mean, sd) for mean, sd in NORMALS]
    for_us = [Estimate(mean, {Source(Cause.MODEL, name): Share(sd, DOF)}) for name, (mean, sd) in INPUTS.items()]

    def gtc() -> tuple[float, ...]:
        gap = gap_of(*for_gtc)
        return gap.x, gap.u, gap.df

    def of_uncertainties() -> tuple[float, ...]:
        gap = gap_of(*for_uncertainties)
        return gap.n, gap.s

    def ours() -> tuple[float, ...]:
        gap = through(hot_gap_m, for_us)
        return gap.value, gap.u, gap.dof

    return {
        "GTC: value, uncertainty, degrees of freedom": gtc,
        "uncertainties: value, uncertainty": of_uncertainties,
        "the program: value, uncertainty, degrees of freedom": ours,
    }
