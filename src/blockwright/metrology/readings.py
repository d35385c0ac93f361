"""One act of measuring, with everything that it rests on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

from blockwright.problems import Place

TWICE = "entered twice at once"
"""Note of a reading that came for a row that another had been written into meanwhile: both are kept."""


@dataclass(frozen=True)
class Reading:
    """One row of the readings: SI values beside the text as it was taken.

    `low_si` and `high_si` are equal for a plain indication and differ for a go / no-go interval. A deviation is held in the gauge's own
    sense, as read. A row without text is a reading still to take; a withdrawn one stays, with its reason. `cells` are the cells of its row
    as they were typed.
    """

    id: str
    part: str
    feature: str
    at: str = ""
    spot: str = ""
    depth_m: float | None = None
    text: str = ""
    unit: str = ""
    low_si: float | None = None
    high_si: float | None = None
    gauge: str = ""
    setting: str = ""
    sitting: str = ""
    state: frozenset[str] | None = None
    part_temp_c: float | None = None
    gauge_temp_c: float | None = None
    bore_temp_c: float | None = None
    by: str = ""
    when: dt.date | None = None
    withdrawn: str = ""
    note: str = ""
    place: Place = field(default=Place(), compare=False)
    cells: Mapping[str, str] = field(default_factory=dict, compare=False, repr=False)

    @property
    def taken(self) -> bool:
        """Whether the row holds a reading that counts."""
        return self.low_si is not None and not self.withdrawn

    @property
    def value_si(self) -> float:
        """The indication; the middle of an interval."""
        assert self.low_si is not None and self.high_si is not None
        return 0.5 * (self.low_si + self.high_si)

    @property
    def half_width_si(self) -> float:
        """Half the interval of a go / no-go reading, 0 for a plain one."""
        assert self.low_si is not None and self.high_si is not None
        return 0.5 * (self.high_si - self.low_si)
