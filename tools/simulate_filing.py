"""File a hundred thousand invented rings by the planner and by rote, and print the table for the documentation.

    python tools/simulate_filing.py [--rings 100000] [--seed 1]

Seeded, so it prints the same twice.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial

from blockwright.choices.filing.model import USUAL_RISK, Window
from blockwright.choices.filing.trial import Outcome, Plan, Truth, Until, by_rote, planned

UM = 1e-6
WIDE = Window(0.400e-3, 0.425e-3, 0.600e-3)
USUAL = tuple(Truth(u * UM) for u in (3, 5, 8))
OFF = {
    "rates twice the guess": Truth(5 * UM, rate_off=2.0),
    "rates half the guess": Truth(5 * UM, rate_off=0.5),
    "passes scatter 20 %": Truth(5 * UM, pass_scatter=0.20),
    "passes scatter 30 %": Truth(5 * UM, pass_scatter=0.30),
    "heavy-tailed passes (t, 4)": Truth(5 * UM, tails=4.0),
    "rings scatter 20 %": Truth(5 * UM, ring_spread=0.20),
    "rings scatter 30 %": Truth(5 * UM, ring_spread=0.30),
    "one ring of a kind": Truth(5 * UM, rings_in_set=1),
}


@dataclass(frozen=True)
class Row:
    """One line of the table: what it is called, the gauge, and how the rings are filed."""

    name: str
    truth: Truth
    run: Callable[..., Outcome]
    planned: bool = True


def rows() -> list[Row]:
    found = [Row("planned", truth, partial(planned, truth, Plan())) for truth in USUAL]
    found += [Row("planned, up to 4 repeats", truth, partial(planned, truth, Plan(repeats=4))) for truth in USUAL]
    found += [
        Row("planned, upper limit 0.600", truth, partial(planned, truth, Plan(window=WIDE))) for truth in USUAL[1:2]
    ]
    found += [Row(f"planned, {name}", truth, partial(planned, truth, Plan())) for name, truth in OFF.items()]
    for units in (1.0, 5.0):
        for until in Until:
            name = f"{units:.0f} at a time until {until}"
            found += [
                Row(name, truth, partial(by_rote, truth, Plan(), units=units, until=until), False) for truth in USUAL
            ]
    return found


def line(row: Row, outcome: Outcome) -> str:
    low, high = outcome.over_interval
    cells = [
        row.name,
        f"{row.truth.u_m / UM:.0f} µm",
        f"{outcome.over / outcome.rings:.2%} ({low:.2%} to {high:.2%})",
        f"{outcome.tight / outcome.rings:.1%}",
        f"{outcome.stalled / outcome.rings:.1%}" if row.planned else "",
        f"{outcome.passes.mean():.2f}",
        f"{outcome.readings.mean():.2f}",
    ]
    return "| " + " | ".join(cells) + " |"


def work(row: Row, rings: int, seed: int) -> str:
    return line(row, row.run(rings=rings, seed=seed))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--rings", type=int, default=100_000, help="rings for each line")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    print(
        f"At least {asked.rings} rings a line, six of a kind on one wheel, filed one after the other; seed {asked.seed}. Kinds' rates"
    )
    print(
        "lie within 3:1 about 10 µm a turn; rings scatter by 10 % about their kind, passes by 10 % about their ring, half of u is common to a"
    )
    print(
        f"set. They start 100 to 300 µm under the low limit of 0.400 mm; aim 0.420, upper limit 0.440 mm; alpha {USUAL_RISK.alpha:.0%}.\n"
    )
    print("| how | u | past the upper limit (95 % interval) | under the low limit | stalled | passes | readings |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        for text in pool.map(partial(work, rings=asked.rings, seed=asked.seed), rows()):
            print(text, flush=True)


if __name__ == "__main__":
    main()
