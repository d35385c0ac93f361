"""Getting the ledger going: the environment, Django, and tables that are as this program knows them."""

from __future__ import annotations

import atexit
import logging
import os
import time
from pathlib import Path
from typing import Any

from blockwright.ledger.place import DATA, DATABASE, data_folder, database_url, databases, make_data_folder
from blockwright.problems import BlockwrightError, Problem

SETTINGS = "blockwright.bench.settings"
ANSWER_S = 5
TRIES, BETWEEN_S = 6, 0.5
"""Two programs that start at once may both want to make the tables: one does, the other looks again."""


def start(data: Path | None = None, database: str = "") -> None:
    """Make the ledger ready to use: the data folder, Django, and the tables, made or brought up to date.

    `data` and `database` go before what the environment says. Raises BlockwrightError where the folder or the database cannot be used,
    or where a newer program made the tables.
    """
    if data is not None:
        os.environ[DATA] = str(data.absolute())
    if database:
        os.environ[DATABASE] = database
    databases(data_folder(), database_url())
    make_data_folder(data_folder())
    _set_up()
    _knock()
    bring_up_to_date()


def bring_up_to_date() -> None:
    """The tables as this program knows them; nothing is done where they are."""
    from django.db import Error

    from blockwright.ledger.faults import problem_of

    for tried in range(1, TRIES + 1):
        try:
            _migrate()
        except Error as fault:
            if tried == TRIES or not _may_pass(fault):
                raise BlockwrightError(problem_of(fault, "The ledger cannot be used", "")) from fault
            time.sleep(BETWEEN_S)
        else:
            return


def _set_up() -> None:
    import django
    from django.conf import settings

    os.environ["DJANGO_SETTINGS_MODULE"] = SETTINGS
    if settings.configured and Path(settings.DATA) != data_folder():
        raise RuntimeError("the ledger was started with another data folder; one process serves one ledger")
    django.setup()
    logging.getLogger("psycopg.pool").addHandler(
        logging.NullHandler()
    )  # what it has to say reaches a log, where there is one
    atexit.register(_close)


def _knock() -> None:
    """One connection outside the pool, which would not say why it gets none."""
    from django.db import connection

    from blockwright.ledger.faults import told

    if connection.vendor == "postgresql":
        here: Any = connection
        asked = {**here.get_connection_params(), "connect_timeout": ANSWER_S}
        with told("The ledger cannot be used"), here.wrap_database_errors:
            here.Database.connect(**asked).close()


def _migrate() -> None:
    from django.core.management import call_command
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    loader = executor.loader
    unknown = {key for key in loader.applied_migrations if key[0] == "ledger"} - set(loader.disk_migrations)
    if unknown:
        what = "this ledger was made by a newer Blockwright."
        raise BlockwrightError(Problem("ledger-newer", what, "Use that one, or a newer one, with it."))
    if executor.migration_plan(loader.graph.leaf_nodes()):
        call_command("migrate", verbosity=0, interactive=False)


def _may_pass(fault: Exception) -> bool:
    """Whether it may be that another program is making the tables at this moment."""
    said = str(fault).lower()
    return any(word in said for word in ("locked", "exists", "duplicate", "unique", "deadlock"))


def _close() -> None:
    """Connections are given back before Python ends, the pool's threads too."""
    from django.db import connections

    for connection in connections.all(initialized_only=True):
        connection.close()
        close_pool = getattr(connection, "close_pool", None)
        if close_pool is not None:
            close_pool()
