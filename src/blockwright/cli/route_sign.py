"""`blockwright route sign` and `undo`: one more row in `route.csv`, sealed to the one before."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from blockwright.choices.route import progress as route_state
from blockwright.choices.route.naming import step_meant
from blockwright.choices.route.progress import Progress, State, with_signing
from blockwright.choices.route.whole import route_progress
from blockwright.cli.route_show import clock_words, left_words, print_line
from blockwright.cli.terminal import console, paragraph
from blockwright.engine.steps import Given, Signing
from blockwright.jobfile.folder import JobFolder, read_folder
from blockwright.jobfile.route_csv import seal
from blockwright.jobfile.write import folder_texts, write_folder
from blockwright.problems import BlockwrightError, Problem, excerpt

MOST_SHOWN = 8
ATTACHMENTS = "attachments"


def now() -> dt.datetime:
    """The time to sign with: this computer's, with its zone, in whole seconds."""
    return dt.datetime.now(tz=dt.UTC).astimezone().replace(microsecond=0)


def sign_step(path: Path, typed: str, given: Given, *, by: str, note: str) -> None:
    """Sign a step and say what that opens. Refused with everything that is missing."""
    _check_photos(path, given)
    when = now()
    before, after = _kept(path, typed, lambda p, key: route_state.sign(p, key, given, by=by, when=when, note=note))
    signing = after.signings[-1]
    out = console()
    paragraph(out, f"Signed: {signing.step}, by {signing.by}, {signing.when:%Y-%m-%d %H:%M}.", style="bold")
    for clock in after.clocks:
        if clock.step.key == signing.step:
            paragraph(out, clock_words(clock, when), first="  ! ")
    known = {(chance.step.key, chance.words) for chance in before.last_chances}
    for chance in after.last_chances:
        if (chance.step.key, chance.words) not in known:
            paragraph(out, f"Before {chance.step.key}: {chance.words}.", first="  ! ")
    paragraph(out, left_words(after))
    for state in after.of(State.NOW)[:MOST_SHOWN]:
        print_line(out, state)


def undo_step(path: Path, typed: str, *, by: str, why: str) -> None:
    """Write down that a step was undone and say what is open again."""
    when = now()
    before, after = _kept(path, typed, lambda p, key: route_state.undo(p, key, by=by, when=when, why=why))
    signing = after.signings[-1]
    out = console()
    paragraph(out, f"Undone: {signing.step}, by {signing.by}: {signing.note}.", style="bold")
    again = [key for key, state in before.states.items() if state.done and not after.states[key].done]
    others = [key for key in again if key != signing.step]
    if others:
        many = f"{len(others)} steps stood on it and are" if len(others) > 1 else "One step stood on it and is"
        paragraph(out, f"{many} open again: {', '.join(others)}.")
    paragraph(out, left_words(after))


def _kept(path: Path, typed: str, made: Callable[[Progress, str], Signing]) -> tuple[Progress, Progress]:
    """Make a signature and write it; how far the assembly was before and is after."""
    folder: JobFolder = read_folder(path)
    before = route_progress(folder.job)
    signing = made(before, step_meant(typed, list(before.states)))
    last = folder.job.signings[-1].digest if folder.job.signings else ""
    job = with_signing(folder.job, replace(signing, digest=seal(signing, last)))
    write_folder(path, folder_texts(job, folder), folder.texts)
    return before, route_progress(job)


def _check_photos(path: Path, given: Given) -> None:
    """A photo that is named must be there: as named, in the job's folder, or among its attachments."""
    for name in given.photos:
        if not any((home / name).is_file() for home in (Path(), path, path / ATTACHMENTS)):
            what = f"there is no file '{excerpt(name)}'."
            raise BlockwrightError(
                Problem("sign-photo", what, "Put it into the job's folder attachments, or give its path.")
            )
