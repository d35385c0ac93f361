"""The commands of `blockwright ledger`, each as a program of its own."""

import sqlite3
from pathlib import Path

import pytest


def test_from_a_folder_to_a_backup_and_back(place, new_place, give, new_folder: Path, tmp_path: Path) -> None:
    assert "No books yet" in give("ledger", "list", *place.words).out
    done = give("ledger", "import", new_folder, "--by", "A. Hand", *place.words)
    assert (done.code, done.err) == (0, "")
    assert done.out.startswith("Brought in as a new book: Bench 7 (")
    slug = done.out.partition("(")[2].partition(")")[0]
    assert give("ledger", "list", *place.words).out == f"{slug}  Bench 7, 1 event\n"
    assert give("ledger", "verify", slug, *place.words).out == f"{slug}  Bench 7: 1 event, 0 attachments: sound\n"

    backup = tmp_path / "all.zip"
    assert give("ledger", "backup", backup, *place.words).out.startswith(
        "1 book, 1 event, 0 attachments, 0 hands written to"
    )
    other = new_place()
    assert "looked through and found sound" in " ".join(give("ledger", "restore", backup, *other.words).out.split())
    assert give("ledger", "verify", *other.words).code == 0

    out = tmp_path / "out"
    assert "4 files written" in give("ledger", "export", "bench 7", "--to", out, *other.words).out
    for file in new_folder.iterdir():
        assert (out / file.name).read_bytes() == file.read_bytes()
    assert give("ledger", "import", out, *other.words).out == f"Nothing new: Bench 7 ({slug}) says the same.\n"


def test_verify_says_what_is_wrong_and_exits_1(place, give, child, new_folder: Path) -> None:
    give("ledger", "import", new_folder, *place.words)
    code = 'connection.cursor().execute("UPDATE ledger_eventrow SET \\"by\\" = \'Somebody\'")'
    assert child(place, code).communicate(timeout=60)[1] == ""
    done = give("ledger", "verify", *place.words)
    assert done.code == 1
    assert "Bench 7: 1 event, 0 attachments: not sound" in done.out
    assert "event 1 (folder brought in): it was altered after it was recorded" in " ".join(done.out.split())
    assert "Put back the last good backup." in done.out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("import", "nowhere"), "there is no folder nowhere"),
        (("export", "nothing", "--to", "x"), "there is no book 'nothing'"),
        (("verify", "nothing"), "there is no book 'nothing'"),
        (("restore", "nothing.zip"), "there is no file nothing.zip"),
        (("export",), "Missing argument"),
    ],
)
def test_wrong_use_is_told_and_exits_2(place, give, words: tuple[str, ...], said: str) -> None:
    done = give("ledger", *words, *place.words)
    assert done.code == 2
    assert said in " ".join(done.err.split())
    assert "Traceback" not in done.err


def test_a_file_that_is_no_ledger_is_told(tmp_path: Path, give) -> None:
    (tmp_path / "ledger.sqlite3").write_bytes(b"no database, and long enough to be looked at" * 100)
    done = give("ledger", "list", "--data", tmp_path)
    assert done.code == 2
    assert "its file is damaged" in " ".join(done.err.split())


def test_a_busy_ledger_can_still_be_read(tmp_path: Path, give, new_folder: Path) -> None:
    where = ("--data", tmp_path / "data")
    give("ledger", "import", new_folder, *where)
    writer = sqlite3.connect(tmp_path / "data" / "ledger.sqlite3")
    writer.execute("BEGIN IMMEDIATE")
    for words in (
        ("list",),
        ("verify",),
        ("backup", tmp_path / "all.zip"),
        ("export", "bench 7", "--to", tmp_path / "out"),
    ):
        assert give("ledger", *words, *where).code == 0, words
    writer.rollback()
    writer.close()


def test_asking_for_help_loads_nothing_heavy() -> None:
    import subprocess
    import sys

    code = (
        "import sys\nsys.argv = ['blockwright', 'ledger', '--help']\nfrom blockwright.cli.main import main\n"
        "try: main()\nexcept SystemExit: pass\nprint('loaded', *{name.split('.')[0] for name in sys.modules})"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert {"django", "numpy", "scipy", "psycopg"}.isdisjoint(done.stdout.rpartition("loaded")[2].split())
