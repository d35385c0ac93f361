"""`blockwright accept`: sign for a fit that is out or cannot be told; the record is sealed to the one before."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

from blockwright.cli.asking import asked
from blockwright.cli.terminal import console, paragraph
from blockwright.engine.job import Job
from blockwright.engine.rules import Record
from blockwright.fits.assess import EVENT_FOR
from blockwright.fits.assessment import FitResult
from blockwright.fits.words import say
from blockwright.jobfile.folder import read_folder
from blockwright.jobfile.record_csv import seal
from blockwright.jobfile.write import folder_texts, write_folder
from blockwright.problems import BlockwrightError, Problem
from blockwright.running.assess import judge


def sign(path: Path, fit_name: str, position_text: str, *, by: str, why: str) -> None:
    """Append a concession or a judgement to the job's record. Refused for a fit that needs none, or without name and reason."""
    folder = read_folder(path)
    fit, position = asked(folder.job, fit_name, position_text)
    result = judge(folder.job, fit, position)
    if result.standing not in EVENT_FOR:
        raise BlockwrightError(
            Problem("accept-needless", f"{fit.name}, {position}: {result.words}. There is nothing to sign for.")
        )
    if result.record is not None:
        known = result.record
        what = f"{fit.name}, {position}: already signed by {known.by}{f' on {known.when}' if known.when else ''}; nothing has changed since."
        raise BlockwrightError(Problem("accept-twice", what, "There is nothing more to sign for."))
    if not by.strip() or not why.strip():
        raise BlockwrightError(
            Problem("accept-unsigned", "an acceptance is signed, with a reason.", "Add --by 'name' --why 'reason'.")
        )
    record = _record(folder.job, result, by.strip(), why.strip())
    job = replace(folder.job, records=(*folder.job.records, record))
    write_folder(path, folder_texts(job, folder), folder.texts)
    signed = f"Signed: {record.event} for {fit.name}, {position}, at {record.value_text}, by {record.by}."
    paragraph(console(), signed)


def _record(job: Job, result: FitResult, by: str, why: str) -> Record:
    value = result.estimate.value
    record = Record(
        max((known.number for known in job.records), default=0) + 1, EVENT_FOR[result.standing], result.fit.name,
        str(result.position), value, say(job, value, result.fit.scale, u=result.estimate.u, signed=False), by,
        dt.datetime.now(tz=dt.UTC).date(), why,
    )  # fmt: skip
    return replace(record, digest=seal(record, job.records[-1].digest if job.records else ""))
