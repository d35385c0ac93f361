"""Whether the bench is alive, and whether it is ready: for whatever watches over it."""

from __future__ import annotations

from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.http import HttpRequest, HttpResponse

from blockwright.bench.addresses import Address, Need


def healthz(request: HttpRequest) -> HttpResponse:
    """The process answers; nothing else is asked."""
    return HttpResponse("alive\n", content_type="text/plain")


def readyz(request: HttpRequest) -> HttpResponse:
    """The database answers and has all its tables."""
    try:
        executor = MigrationExecutor(connection)
        behind = executor.migration_plan(executor.loader.graph.leaf_nodes())
    except DatabaseError:
        return HttpResponse("the database does not answer\n", content_type="text/plain", status=503)
    if behind:
        return HttpResponse("the database lacks tables\n", content_type="text/plain", status=503)
    return HttpResponse("ready\n", content_type="text/plain")


ADDRESSES = (
    Address("healthz", "healthz", healthz, Need.ANYONE),
    Address("readyz", "readyz", readyz, Need.ANYONE),
)
