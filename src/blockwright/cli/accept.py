"""`blockwright accept`: sign for a fit that is out or cannot be told; the record is sealed to the one before."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from blockwright.acts.kinds.signatures import acceptance
from blockwright.acts.store import FolderStore
from blockwright.cli.acting import act
from blockwright.cli.terminal import console, paragraph


def sign(path: Path, fit_name: str, position_text: str, *, by: str, why: str) -> None:
    """Append a concession or a judgement to the job's record. Refused for a fit that needs none, or without name and reason."""
    store = FolderStore(path)
    kept = store.kept()
    event = acceptance(kept.job, fit_name, position_text)
    words = {"fit": fit_name, "at": position_text, "why": why}
    cells = act(store, kept, str(event), words, by=by, at=dt.datetime.now(tz=dt.UTC)).body["cells"]
    signed = f"Signed: {event} for {cells['fit']}, {cells['at']}, at {cells['value']}, by {cells['by']}."
    paragraph(console(), signed)
