"""One sitting at the ring grinder: what is asked once and offered again, and the entries that go into the job folder."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from blockwright.choices.ring_bench import RingId
from blockwright.engine.features import FEATURES, GaugeKind
from blockwright.engine.filing import Pass
from blockwright.engine.job import Job
from blockwright.engine.states import show_state
from blockwright.fits.words import Scale, unit_of
from blockwright.jobfile.folder import JobFolder, read_folder
from blockwright.jobfile.new_entry import cell_problems, entry_from, free_id
from blockwright.jobfile.write import folder_texts, write_folder
from blockwright.metrology.gauges import Gauge, Sense
from blockwright.problems import BlockwrightError, Problem, excerpt
from blockwright.quantities import Kind
from blockwright.quantities.errors import with_article

USUAL_GAP_M = 0.4e-3
"""A gauge for gaps takes this."""
TOO_STOUT = ("micrometer", "micrometre", "caliper", "vernier")
"""Words in the name of a gauge that does not go into one."""
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

    def took(self, ring: RingId, units: float) -> Job:
        """The job with what was just taken written down, on the disk; its gap is still to be read."""
        folder = read_folder(self.path)
        job = folder.job
        grinder = job.sheet.grinder
        taken = f"{units:.9f}".rstrip("0").rstrip(".")
        cells = self._cells(ring, free_id(job), grinder.wheel, taken, grinder.counted_in)
        return _written(folder, replace(job, passes=(*job.passes, entry_from(job, cells))))

    def kept(self, ring: RingId, gap: str) -> Job:
        """The job with a gap written down, on the disk.

        It goes into the entry that waits for it, where that was made today by the same hand, else into one of its own.
        Raises BlockwrightError, with nothing written, where the gap cannot be.
        """
        folder = read_folder(self.path)
        job = folder.job
        waiting = self._waiting(job, ring)
        if waiting is None:
            cells = self._cells(ring, free_id(job), job.sheet.grinder.wheel, "0", job.sheet.grinder.counted_in)
        else:
            cells = self._cells(
                ring, waiting.reading.id, waiting.wheel, f"{waiting.units:.9f}".rstrip("0").rstrip("."), waiting.unit
            )
            cells["note"] = waiting.reading.note
        cells |= self.cells | {"gap": gap, "state": show_state(job.engine.bore_state)}
        entry = entry_from(job, cells, self.unit)
        typed = TYPED_UNIT.search(gap)
        self.unit = typed[1] if typed else self.unit
        passes = tuple(entry if each is waiting else each for each in job.passes)
        return _written(folder, replace(job, passes=passes if waiting else (*passes, entry)))

    def _cells(self, ring: RingId, mark: str, wheel: str, taken: str, counted_in: str) -> dict[str, str]:
        """An entry without a gap."""
        return {
            "id": mark, "rings": ring.rings, "ring": ring.ring, "at": str(ring.at), "wheel": wheel, "taken": taken, "counted_in": counted_in,
            "gap": "", "unit": "", "gauge": self.gauge, "by": self.by, "when": _today(),
        }  # fmt: skip

    def _waiting(self, job: Job, ring: RingId) -> Pass | None:
        """The last entry of a ring, where it waits for its gap and is of this day and hand."""
        last = next((each for each in reversed(job.passes) if (each.rings, each.ring) == (ring.rings, ring.ring)), None)
        if last is None or not last.waits or last.at != str(ring.at):
            return None
        when = last.reading.when.isoformat() if last.reading.when else ""
        return last if (last.reading.by, when) == (self.by, _today()) else None

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
        what = f"no gauge '{excerpt(gauge)}' is registered."
        raise BlockwrightError(Problem("gauge-unknown", what, f"There are: {known}."))
    blades = [mark for mark, each in job.gauges.items() if each.sense is Sense.BLADES]
    if not gauge and not blades:
        what = "no feeler blades are registered."
        raise BlockwrightError(Problem("gauge-unknown", what, "Name the gauge with --gauge, or register blades."))
    chosen = job.gauges[gauge or blades[0]]
    unfit = _unfit(job, chosen)
    if unfit:
        named = f"Name another: {', '.join(blades)}." if blades else "Name another gauge."
        raise BlockwrightError(Problem("gauge-kind", f"gauge {chosen.id} {unfit}.", named))
    return Sitting(path, by, chosen.id, chosen.sense is Sense.BLADES, unit_of(job, Scale.CLEARANCE))


def _unfit(job: Job, gauge: Gauge) -> str:
    """Why a gauge cannot read a gap, as far as the register and its rows in this job tell; an empty text where it can."""
    if gauge.measures is not Kind.LENGTH:
        return f"measures {gauge.measures}, and a gap is a length"
    if gauge.sense is Sense.BLADES:
        return ""
    if gauge.sense.compares:
        return "shows differences from a setting, and a gap is read as it is"
    if not gauge.takes(USUAL_GAP_M):
        return f"does not take {1e3 * USUAL_GAP_M:g} mm, the size of a gap"
    read = {FEATURES[each.feature] for each in job.readings if each.gauge == gauge.id and each.feature in FEATURES}
    in_gaps = any(each.gauge is GaugeKind.BLADES for each in read)
    if not in_gaps and any(word in gauge.name.lower() for word in TOO_STOUT):
        return f"is {with_article(gauge.name)}, and cannot go into a gap"
    if read and not in_gaps:
        return f"reads {', '.join(sorted(each.name for each in read)[:2])} in this job, and cannot go into a gap"
    return ""


def _today() -> str:
    return dt.datetime.now().astimezone().date().isoformat()


def _written(folder: JobFolder, job: Job) -> Job:
    write_folder(folder.path, folder_texts(job, folder), folder.texts)
    return read_folder(folder.path).job
