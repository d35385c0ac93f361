"""Labels for bagged part sets: one a cylinder, one a main bearing, each with a code that a tablet reads.

What the code holds is plain text, a line each: `blockwright set`, the job, the engine, the place, and kind and mark of every part. It is read without
this program, and holds nothing that is not printed beside it.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import segno

from blockwright.engine.job import Job
from blockwright.engine.positions import Place
from blockwright.problems import BlockwrightError, Problem
from blockwright.report.paper import paper as named_paper
from blockwright.report.typeset import typeset

HEAD = "blockwright set"
LONGEST = 40
"""Letters of a name that go into a code: more would make its squares too small to read at 25 mm."""


@dataclass(frozen=True)
class Label:
    """One label: the place, and kind and mark of each part that goes there."""

    job: str
    engine: str
    place: str
    parts: tuple[tuple[str, str], ...]

    @property
    def code(self) -> str:
        """What the code on it says."""
        lines = (HEAD, f"job {_short(self.job)}", f"engine {_short(self.engine)}", self.place)
        return "\n".join((*lines, *(f"{kind} {_short(mark)}" for kind, mark in self.parts)))


def labels_of(job: Job) -> tuple[Label, ...]:
    """A label for every cylinder and main bearing to which a part is assigned, in order."""
    return tuple(_labels(job))


def labels_pdf(job: Job, paper: str = "A4") -> bytes:
    """All labels on sheets of paper, with cut marks. Raises BlockwrightError where no part is assigned to a place."""
    labels = labels_of(job)
    if not labels:
        what = "no part is assigned to a cylinder or a main bearing."
        raise BlockwrightError(Problem("labels-none", what, "Assign parts by [[cylinder]] and [[main]] in job.toml."))
    listed = [
        {
            "place": each.place[:1].upper() + each.place[1:], "parts": [list(pair) for pair in each.parts], "code": f"code{number}",
            "alt": "Code that holds: " + each.code.replace("\n", ", "),
        }
        for number, each in enumerate(labels)
    ]  # fmt: skip
    data = {
        "title": f"Labels, {job.sheet.job}", "job": job.sheet.job, "engine": job.engine.name, "invented": job.sheet.invented,
        "paper": named_paper(paper), "labels": listed,
    }  # fmt: skip
    return typeset("labels/labels.typ", data, {f"code{number}": _code(each.code) for number, each in enumerate(labels)})


def _labels(job: Job) -> Iterator[Label]:
    for position in job.engine.positions(Place.CYLINDER):
        held = job.in_cylinder(position.number)
        shells = zip(("upper shell", "lower shell"), held.shells, strict=False)
        named = (("piston", held.piston), ("rings", held.rings), ("pin", held.pin), ("rod", held.rod), *shells)
        yield from _label(job, str(position), named)
    for position in job.engine.positions(Place.MAIN):
        shells = zip(("upper shell", "lower shell"), job.in_main(position.number).shells, strict=False)
        yield from _label(job, str(position), tuple(shells))


def _label(job: Job, place: str, named: Sequence[tuple[str, str]]) -> Iterator[Label]:
    parts = tuple((kind, mark) for kind, mark in named if mark)
    if parts:
        yield Label(job.sheet.job, job.engine.name, place, parts)


def _code(text: str) -> str:
    """The code as SVG; a quarter of it may be lost to grease and it still reads."""
    out = io.BytesIO()
    segno.make_qr(text, error="m", boost_error=True).save(out, kind="svg", border=4, xmldecl=False, svgns=True)
    return out.getvalue().decode()


def _short(text: str) -> str:
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"
