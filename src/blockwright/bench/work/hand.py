"""The process that works an engine out beside the server, so that no reading waits for it.

On its input it gets one line of JSON, {"name", "texts", "samples", "seed"}; on its output it gives a line of JSON for each step, {"what", "share"},
and at the end {"done": true} or {"problems": [...]}. The result is kept where `running.work.kept` keeps it. When its input ends, so does it: whoever
started it is gone. It yields to whatever else wants the machine, and
takes one processor.
"""

from __future__ import annotations

import json
import os
import sys
import threading
from contextlib import suppress
from typing import Any, TextIO

from blockwright.problems import BlockwrightError

YIELDS = 10


def main() -> int:
    """Work out what stands on the input."""
    with suppress(OSError, AttributeError):
        os.nice(YIELDS)
    asked = json.loads(sys.stdin.readline())
    threading.Thread(target=_end_with, args=(sys.stdin,), daemon=True).start()
    try:
        _work_out(asked)
    except BlockwrightError as error:
        _say({"problems": [f"{problem.what} {problem.mend}".strip() for problem in error.problems]})
        return 2
    _say({"done": True})
    return 0


def _work_out(asked: dict[str, Any]) -> None:
    from blockwright.jobfile.folder import read_texts
    from blockwright.running.work import work
    from blockwright.running.work.kept import keep

    job = read_texts(asked["name"], asked["texts"]).job
    keep(work(job, samples=asked["samples"], seed=asked["seed"], progress=_step, processes=1))


def _step(what: str, share: float) -> None:
    _say({"what": what, "share": share})


def _say(told: dict[str, Any]) -> None:
    sys.stdout.write(json.dumps(told) + "\n")
    sys.stdout.flush()


def _end_with(source: TextIO) -> None:
    while source.readline():
        pass
    os._exit(1)


if __name__ == "__main__":
    sys.exit(main())
