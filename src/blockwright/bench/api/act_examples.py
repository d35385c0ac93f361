"""An invented example of the words of every kind of act, for the description of the API."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

PHOTO = "0123456789abcdef.jpg"

EXAMPLES: Mapping[str, Mapping[str, Any]] = {
    "reading taken": {"row": "r20", "value": "-6", "unit": "um", "gauge": "BG1", "seen": 12},
    "reading withdrawn": {"row": "r20", "why": "the gauge slipped"},
    "state set": {"rows": ["r20", "r21"], "state": "plate on", "part_temp": "21.5 °C"},
    "pass filed": {"rings": "R1", "ring": "top", "taken": "4"},
    "gap read": {"rings": "R1", "ring": "top", "gap": "0.40 to 0.45 mm", "gauge": "F1"},
    "pass withdrawn": {"pass": "f3", "why": "written under the wrong ring"},
    "wheel put on": {"wheel": "W2"},
    "part registered": {"part": {"mark": "P9", "kind": "piston", "note": "spare"}},
    "part assigned": {"at": "cylinder 3", "as": "piston", "parts": ["P9"]},
    "gauge registered": {"gauge": {"id": "M9", "name": "micrometer 75 to 100 mm", "resolution": "1 um"}},
    "setting made": {"setting": {"id": "S9", "gauge": "BG1", "size": "86 mm", "master": "M4"}},
    "limit set": {
        "limit": {"fit": "wall clearance", "authority": "builder", "source": "house rule", "low": "0.05 mm", "why": "short runs"}
    },
    "concession": {"fit": "wall clearance", "at": "cylinder 3", "why": "for one trial run"},
    "judgement": {"fit": "wall clearance", "at": "cylinder 2", "why": "felt and compared with its neighbours"},
    "step signed": {"step": "final: piston 3", "note": "arrow to the front"},
    "step undone": {"step": "final: piston 3", "why": "ring caught"},
    "photo attached": {"photo": PHOTO, "part": "P1", "note": "mark on the skirt"},
    "sheet changed": {"table": "job", "values": {"customer": "A. Customer (invented)"}},
    "folder brought in": {"name": "harbour", "texts": {"job.toml": "…", "gauges.toml": "…", "readings.csv": "…"}},
}  # fmt: skip
