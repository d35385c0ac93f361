"""One sitting at the ring grinder: what is asked once and offered again, and the entries that go into the job folder."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from blockwright.choices.ring_bench import RingId
from blockwright.engine.filing import Pass
from blockwright.engine.job import Job
from blockwright.engine.states import show_state
from blockwright.fits.words import Scale, unit_of
from blockwright.jobfile.folder import JobFolder, read_folder
from blockwright.jobfile.new_entry import cell_problems, entry_from, free_id
from blockwright.jobfile.write import folder_texts, write_folder
from blockwright.metrology.gauges import Sense
from blockwright.problems import BlockwrightError, Problem
from blockwright.quantities import Kind

SLIP = "a slip, found when it was read again"
TYPED_UNIT = re.compile(r"[\d.]\s*([^\W\d_]+)$")


@dataclass
class Sitting:
    """Who, with which gauge, in which unit; `cells` are temperatures and depth as last typed.

    `known` once those were asked for, `filed` once the ritual of filing was shown.
    """

    path: Path
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

    def kept(self, ring: RingId, units: float, gap: str) -> Job:
        """The job with one more entry, which is on the disk. Raises BlockwrightError, with nothing written, where that cannot be."""
        folder = read_folder(self.path)
        job = folder.job
        grinder = job.sheet.grinder
        cells = {
            "id": free_id(job), "rings": ring.rings, "ring": ring.ring, "at": str(ring.at), "wheel": grinder.wheel,
            "taken": f"{units:.9f}".rstrip("0").rstrip("."), "counted_in": grinder.counted_in, "gap": gap, "unit": "", "gauge": self.gauge,
            **self.cells, "state": show_state(job.engine.bore_state), "by": self.by,
            "when": dt.datetime.now().astimezone().date().isoformat(),
        }  # fmt: skip
        entry = entry_from(job, cells, self.unit)
        typed = TYPED_UNIT.search(gap)
        self.unit = typed[1] if typed else self.unit
        return _written(folder, replace(job, passes=(*job.passes, entry)))

    def withdrawn(self, slip: Pass) -> Job:
        """The job with an entry withdrawn; it stays on record, with the reason."""
        folder = read_folder(self.path)
        passes = tuple(
            replace(each, reading=replace(each.reading, withdrawn=SLIP)) if each.reading.id == slip.reading.id else each
            for each in folder.job.passes
        )
        return _written(folder, replace(folder.job, passes=passes))

    def put_on(self, wheel: str) -> bool:
        """Write down that another wheel is on; whether it is another."""
        folder = read_folder(self.path)
        sheet = folder.job.sheet
        if sheet.grinder.wheel == wheel:
            return False
        _written(folder, replace(folder.job, sheet=replace(sheet, grinder=replace(sheet.grinder, wheel=wheel))))
        return True


def sitting_for(path: Path, job: Job, gauge: str, by: str) -> Sitting:
    """A sitting with the gauge that is named, else the first set of blades. Raises BlockwrightError where that cannot read a gap."""
    if gauge and gauge not in job.gauges:
        known = ", ".join(job.gauges)
        raise BlockwrightError(Problem("gauge-unknown", f"no gauge '{gauge}' is registered.", f"There are: {known}."))
    blades = [mark for mark, each in job.gauges.items() if each.sense is Sense.BLADES]
    if not gauge and not blades:
        what = "no feeler blades are registered."
        raise BlockwrightError(Problem("gauge-unknown", what, "Name the gauge with --gauge, or register blades."))
    chosen = job.gauges[gauge or blades[0]]
    if chosen.measures is not Kind.LENGTH:
        what = f"gauge {chosen.id} measures {chosen.measures}, and a gap is a length."
        raise BlockwrightError(Problem("gauge-kind", what, "Name another gauge."))
    return Sitting(path, by, chosen.id, chosen.sense is Sense.BLADES, unit_of(job, Scale.CLEARANCE))


def _written(folder: JobFolder, job: Job) -> Job:
    write_folder(folder.path, folder_texts(job, folder), folder.texts)
    return read_folder(folder.path).job
