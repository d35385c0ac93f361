"""`blockwright route sign` and `undo`: one more row in `route.csv`, sealed to the one before."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from blockwright.choices.route import progress as route_state
from blockwright.choices.route.naming import step_meant
from blockwright.choices.route.progress import Progress, State, with_signing
from blockwright.choices.route.whole import route_progress
from blockwright.cli.route_show import print_line
from blockwright.cli.terminal import console, paragraph
from blockwright.engine.steps import Given, Look, Signing
from blockwright.jobfile.attachments import Photo, keep, lost_photos, photo_from
from blockwright.jobfile.folder import JobFolder, read_folder
from blockwright.jobfile.route_csv import look_from, seal
from blockwright.jobfile.write import folder_texts, write_folder
from blockwright.problems import BlockwrightError, Problem, excerpt
from blockwright.report.route_words import clock_words, left_words

MOST_SHOWN = 8


def now() -> dt.datetime:
    """The time to sign with: this computer's, with its zone, in whole seconds."""
    return dt.datetime.now(tz=dt.UTC).astimezone().replace(microsecond=0)


def looks_from(typed: Sequence[str]) -> tuple[Look, ...]:
    """Looks as they were typed: `turning torque, stage main 3: as its neighbours`. Raises BlockwrightError where the reason is missing."""
    looks = []
    for text in typed:
        look = look_from(text)
        if look is None:
            what = f"'{excerpt(text)}' does not say which fit was looked at and why it may stay so."
            raise BlockwrightError(
                Problem("sign-look", what, "Write: --look 'turning torque, stage main 3: your reason'.")
            )
        looks.append(look)
    return tuple(looks)


def sign_step(path: Path, typed: str, given: Given, *, by: str, note: str) -> None:
    """Sign a step and say what that opens. Refused with everything that is missing."""
    photos, faults = _photos(path, given.photos)
    given = given if faults else replace(given, photos=tuple(photo.words for photo in photos))
    when = now()

    def made(progress: Progress, key: str) -> Signing:
        try:
            signing = route_state.sign(progress, key, given, by=by, when=when, note=note)
        except BlockwrightError as error:
            raise BlockwrightError([*faults, *error.problems]) from None
        if faults:
            raise BlockwrightError(faults)
        return signing

    before, after = _kept(path, typed, made, photos)
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


def _photos(path: Path, named: Sequence[str]) -> tuple[list[Photo], list[Problem]]:
    """The photos that were named, and what is wrong with those that are none."""
    photos: list[Photo] = []
    faults: list[Problem] = []
    for name in named:
        try:
            photos.append(photo_from(path, name))
        except BlockwrightError as error:
            faults += error.problems
    return photos, faults


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


def _kept(
    path: Path, typed: str, made: Callable[[Progress, str], Signing], photos: Sequence[Photo] = ()
) -> tuple[Progress, Progress]:
    """Make a signature, keep its photos and write it; how far the assembly was before and is after."""
    folder: JobFolder = read_folder(path)
    before = route_progress(folder.job, lost_photos(path, folder.job.signings))
    signing = made(before, step_meant(typed, list(before.states)))
    last = folder.job.signings[-1].digest if folder.job.signings else ""
    job = with_signing(folder.job, replace(signing, digest=seal(signing, last)))
    texts = folder_texts(job, folder)
    keep(path, photos)
    write_folder(path, texts, folder.texts)
    return before, route_progress(job, lost_photos(path, job.signings))
