"""A database that cannot do its work says so at the bench: what was not kept, why, and what to do. Every fault here is a real one."""

from collections.abc import Callable

import pytest

pytestmark = pytest.mark.slow
TAKE = """
try:
    event = store.keep("reading taken", {"row": words[0], "value": "3", "unit": "um"}, by="A. Hand", at=at, key="k")
except BlockwrightError as refused:
    print(refused)
else:
    print("kept", event.number)
"""
SQLITE = {
    "read-only": "store.kept(); connection.cursor().execute('PRAGMA query_only=ON')",
    "full": "size = connection.cursor().execute('PRAGMA page_count').fetchone()[0]\n"
            "connection.cursor().execute(f'PRAGMA max_page_count={size}')\n"
            "words = [words[0]]; at = at\n"
            "import secrets; big = secrets.token_hex(4500)",
    "locked": "import sqlite3\nconnection.cursor().execute('PRAGMA busy_timeout=50')\n"
              "import atexit; other = sqlite3.connect(connection.settings_dict['NAME']); atexit.register(other.close); other.execute('BEGIN IMMEDIATE')",
    "damaged": "store.kept()\nwith open(connection.settings_dict['NAME'], 'r+b') as file: file.seek(0); file.write(bytes(4096))\n"
               "connection.close()",
}  # fmt: skip
SERVER = {
    "read-only": "connection.cursor().execute('SET default_transaction_read_only=on')",
    "locked": "import psycopg\nconnection.cursor().execute(\"SET lock_timeout='50ms'\")\n"
              "import atexit; other = psycopg.connect(sys.argv[2]); atexit.register(other.close); other.execute('SELECT * FROM ledger_book FOR UPDATE')",
    "cut off": "import psycopg\nstore.kept(); here = connection.cursor().execute('SELECT pg_backend_pid()').fetchone()[0]\n"
               "with psycopg.connect(sys.argv[2], autocommit=True) as other: other.execute(f'SELECT pg_terminate_backend({here})')",
}  # fmt: skip
WORDS = {
    "read-only": ("may not be written to", "right to write"),
    "full": ("the disk is full", "Make room"),
    "locked": ("another program holds the ledger", "Try again in a moment"),
    "damaged": ("its file is damaged", "last good backup"),
    "cut off": ("cannot be reached", "Is it running"),
}


def test_each_fault_is_told(place, child: Callable[..., "object"], give, new_folder, rows: list[str]) -> None:
    assert give("ledger", "import", new_folder, *place.words).code == 0
    for name, fault in (SERVER if place.database else SQLITE).items():
        code = fault + (TAKE.replace('"value": "3"', '"note": big, "value": "3"') if name == "full" else TAKE)
        out, err = child(place, code, rows[0]).communicate(timeout=120)  # type: ignore[attr-defined]
        assert err == "", name
        said = " ".join(out.split())
        assert "NOT kept" in said, (name, said)
        for word in WORDS[name]:
            assert word in said, (name, said)
        if name == "damaged":
            continue
        assert give("ledger", "verify", *place.words).out.endswith("1 event, 0 attachments: sound\n"), name
    if place.database:
        out, err = child(place, TAKE, rows[0]).communicate(timeout=120)  # type: ignore[attr-defined]
        assert (out, err) == ("kept 2\n", "")
