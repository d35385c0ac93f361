"""Every address of the bench: the pages of each module in `views`, what other floors of the bench add, and the pages that say no.

Each module's addresses go through `addresses.paths`, so that none is without its guard; a page that lies in `views` cannot be forgotten.
"""

from __future__ import annotations

import pkgutil
from collections.abc import Iterator
from importlib import import_module
from importlib.util import find_spec

from django.urls import URLPattern, URLResolver

from blockwright.bench import views
from blockwright.bench.addresses import Address, paths

ELSEWHERE = ("blockwright.bench.people.views",)
"""Modules with addresses that do not lie in `views`."""
API = "blockwright.bench.api.urls"
"""The HTTP API's own patterns: it guards itself by token."""


def every_address() -> Iterator[Address]:
    """The addresses of all pages."""
    names = sorted(module.name for module in pkgutil.iter_modules(views.__path__, f"{views.__name__}."))
    for name in (*names, *(each for each in ELSEWHERE if _there(each))):
        yield from getattr(import_module(name), "ADDRESSES", ())


def _there(name: str) -> bool:
    """Whether a module exists, without loading it."""
    try:
        return find_spec(name) is not None
    except ModuleNotFoundError:
        return False


urlpatterns: list[URLPattern | URLResolver] = [*paths(every_address())]
if _there(API):
    urlpatterns += import_module(API).urlpatterns

handler400 = "blockwright.bench.views.errors.unfit"
handler403 = "blockwright.bench.views.errors.forbidden"
handler404 = "blockwright.bench.views.errors.missing"
handler500 = "blockwright.bench.views.errors.faulty"
