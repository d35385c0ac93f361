"""Who may do what to a job: four roles, each of which may do all that those before it may."""

from __future__ import annotations

from enum import IntEnum


class Role(IntEnum):
    """A hand's place at a job."""

    VIEWER = 1
    MEASURER = 2
    BUILDER = 3
    OWNER = 4

    @property
    def word(self) -> str:
        """The role as it is said."""
        return self.name.lower()
