"""`blockwright labels` and `blank`: what is written, and what is refused."""

from collections.abc import Callable
from pathlib import Path

import pytest


@pytest.mark.parametrize(("command", "flags"), [("labels", ()), ("blank", ("--all",))])
def test_a_page_is_written_once(
    give: Callable, harbour: Path, tmp_path: Path, command: str, flags: tuple[str, ...]
) -> None:
    to = tmp_path / "out.pdf"
    done = give(command, harbour, "--to", to, *flags)
    assert done.code == 0, done.err
    first = to.read_bytes()
    assert first.startswith(b"%PDF")
    again = give(command, harbour, "--to", to, *flags)
    assert (again.code, "is there already" in again.err) == (2, True)
    assert give(command, harbour, "--to", to, "--force", *flags).code == 0
    assert to.read_bytes() == first, "the same job gives the same bytes"


@pytest.mark.parametrize("command", ["labels", "blank"])
def test_what_is_no_page_is_never_written_over(give: Callable, harbour: Path, command: str) -> None:
    readings = harbour / "readings.csv"
    before = readings.read_bytes()
    for words in ((), ("--force",)):
        done = give(command, harbour, "--to", readings, *words)
        assert (done.code, "is no PDF; it stays as it is" in " ".join(done.err.split())) == (2, True)
    assert readings.read_bytes() == before


@pytest.mark.parametrize("command", ["labels", "blank"])
def test_a_paper_nobody_has(give: Callable, harbour: Path, tmp_path: Path, command: str) -> None:
    done = give(
        command,
        harbour,
        "--to",
        tmp_path / "out.pdf",
        "--paper",
        "foolscap",
        *(["--all"] if command == "blank" else []),
    )
    assert (done.code, "Say A4 or Letter" in done.err) == (2, True)
    assert not (tmp_path / "out.pdf").exists()


def test_a_place_that_cannot_be_written(give: Callable, harbour: Path, tmp_path: Path) -> None:
    done = give("labels", harbour, "--to", tmp_path / "nowhere" / "out.pdf")
    assert (done.code, "cannot be written" in done.err) == (2, True)
