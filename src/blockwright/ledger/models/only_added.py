"""Rows that are only ever added: what would change or take away one of them is refused, whoever asks."""

from __future__ import annotations

from typing import Any, NoReturn, TypeVar

from django.db import models

M = TypeVar("M", bound=models.Model)


class OnlyAddedError(Exception):
    """Somebody asked for a change of what is on record: a fault of the program, never of its user."""

    def __init__(self, model: type[models.Model]) -> None:
        super().__init__(f"rows of {model.__name__} are only ever added: nothing on record is changed or taken away")


class OnlyAddedQuerySet(models.QuerySet[M]):
    """Rows that can be read and added, not changed."""

    def update(self, **kwargs: Any) -> NoReturn:
        """Refused."""
        raise OnlyAddedError(self.model)

    def delete(self) -> NoReturn:
        """Refused."""
        raise OnlyAddedError(self.model)

    def _raw_delete(self, using: str | None) -> NoReturn:
        raise OnlyAddedError(self.model)

    def bulk_update(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refused."""
        raise OnlyAddedError(self.model)

    def update_or_create(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refused."""
        raise OnlyAddedError(self.model)

    def bulk_create(self, objs: Any, *args: Any, **kwargs: Any) -> list[M]:
        """As ever, but nothing that is there is written over."""
        if kwargs.get("update_conflicts"):
            raise OnlyAddedError(self.model)
        return super().bulk_create(objs, *args, **kwargs)


class OnlyAdded(models.Model):
    """A row that is added once and stays as it is."""

    class Meta:
        """No table of its own."""

        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Add the row. Refused where it is there already."""
        if not self._state.adding:
            raise OnlyAddedError(type(self))
        super().save(*args, **{**kwargs, "force_insert": True})

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refused."""
        raise OnlyAddedError(type(self))
