"""One sitting at the ring grinder: what is asked once and offered again, and the entries that go into the job folder."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from blockwright.acts.store import FolderStore
from blockwright.choices.gap_gauges import unfit_for_gaps
from blockwright.choices.ring_bench import RingId
from blockwright.cli.acting import act
from blockwright.engine.filing import Pass
from blockwright.engine.job import Job
from blockwright.fits.words import Scale, unit_of
from blockwright.jobfile.new_entry import cell_problems
from blockwright.metrology.gauges import Sense
from blockwright.problems import BlockwrightError, Problem, excerpt

SLIP = "a slip, found when it was read again"
TYPED_UNIT = re.compile(r"[\d.]\s*([^\W\d_]+)$")


@dataclass
class Sitting:
    """Who, with which gauge, in which unit; `cells` are temperatures and depth as last typed.

    `known` once those were asked for, `filed` once the ritual of filing was shown.
    """

    store: FolderStore
    by: str
    gauge: str
    blades: bool
    unit: str
    known: bool = False
    filed: bool = False
    cells: dict[str, str] = field(default_factory=lambda: {"ring_temp": "", "bore_temp": "", "depth": ""})

    @property
    def conditions(self) -> str:
        """Temperatures and depth, as they were last time."""
        ring, bore, depth = (self.cells[name] for name in ("ring_temp", "bore_temp", "depth"))
        return f"ring {ring or 'not read'}, bore {bore or 'not read'}, {f'{depth} deep' if depth else 'depth not read'}"

    def gap_question(self) -> str:
        """How a gap is asked for, with the unit that a bare number has."""
        if self.blades:
            return f"Gap in {self.unit}, what goes to what does not ('{self._example()}')"
        return f"Gap in {self.unit}"

    def _example(self) -> str:
        return {"mm": "0.40 to 0.45", "thou": "15 to 16"}.get(self.unit, "0.40 to 0.45 mm")

    def problems(self, job: Job, column: str, text: str) -> Sequence[Problem]:
        """What is wrong with a cell as typed."""
        return cell_problems(
            job, {"gauge": self.gauge, column: text, "id": "p", "ring": "", "taken": "0", "gap": ""}, column
        )

    def keep(self, column: str, text: str) -> None:
        """Keep a cell as typed; a bare number of degrees with its unit."""
        bare = column != "depth" and re.fullmatch(r"[\d.,]+", text)
        self.cells[column] = f"{text} °C" if bare else text

    def took(self, ring: RingId, units: float) -> Job:
        """The job with what was just taken written down, on the disk; its gap is still to be read."""
        taken = f"{units:.9f}".rstrip("0").rstrip(".")
        return self._done("pass filed", _which(ring) | {"taken": taken, "gauge": self.gauge})

    def kept(self, ring: RingId, gap: str) -> Job:
        """The job with a gap written down, on the disk.

        It goes into the entry that waits for it, where that was made today by the same hand, else into one of its own.
        Raises BlockwrightError, with nothing written, where the gap cannot be.
        """
        words = _which(ring) | self.cells | {"gap": gap, "gauge": self.gauge, "usual_unit": self.unit}
        job = self._done("gap read", words)
        typed = TYPED_UNIT.search(gap)
        self.unit = typed[1] if typed else self.unit
        return job

    def withdrawn(self, slip: Pass) -> Job:
        """The job with an entry withdrawn; it stays on record, with the reason."""
        return self._done("pass withdrawn", {"pass": slip.reading.id, "why": SLIP})

    def put_on(self, wheel: str) -> bool:
        """Write down that another wheel is on; whether it is another."""
        if self.store.kept().job.sheet.grinder.wheel == wheel:
            return False
        self._done("wheel put on", {"wheel": wheel})
        return True

    def _done(self, kind: str, words: Mapping[str, str]) -> Job:
        act(self.store, self.store.kept(), kind, words, by=self.by)
        return self.store.kept().job


def _which(ring: RingId) -> dict[str, str]:
    return {"rings": ring.rings, "ring": ring.ring, "at": str(ring.at)}


def sitting_for(path: Path, job: Job, gauge: str, by: str) -> Sitting:
    """A sitting with the gauge that is named, else the first set of blades. Raises BlockwrightError where that cannot read a gap."""
    if gauge and gauge not in job.gauges:
        known = ", ".join(job.gauges)
        what = f"no gauge '{excerpt(gauge)}' is registered."
        raise BlockwrightError(Problem("gauge-unknown", what, f"There are: {known}."))
    blades = [mark for mark, each in job.gauges.items() if each.sense is Sense.BLADES]
    if not gauge and not blades:
        what = "no feeler blades are registered."
        raise BlockwrightError(Problem("gauge-unknown", what, "Name the gauge with --gauge, or register blades."))
    chosen = job.gauges[gauge or blades[0]]
    unfit = unfit_for_gaps(job, chosen)
    if unfit:
        named = f"Name another: {', '.join(blades)}." if blades else "Name another gauge."
        raise BlockwrightError(Problem("gauge-kind", f"gauge {chosen.id} {unfit}.", named))
    return Sitting(FolderStore(path), by, chosen.id, chosen.sense is Sense.BLADES, unit_of(job, Scale.CLEARANCE))
