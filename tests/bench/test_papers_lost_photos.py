"""Photos of signatures that a book lacks, told as those of a folder are."""

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from blockwright.acts.kept import start
from blockwright.demos import demo_texts
from blockwright.engine.steps import Given, Signed, Signing
from blockwright.jobfile.attachments import FOLDER, lost_among, lost_photos

JOB = start("harbour", demo_texts("harbour")).job
NAME = "0123456789abcdef.jpg"


def signing(*photos: str) -> Signing:
    return Signing(
        1, Signed.SIGNED, "wash", "A. Hand", datetime(2031, 5, 4, 9, 30, tzinfo=UTC), replace(Given(), photos=photos)
    )


@pytest.mark.parametrize("photo", [NAME, f"{NAME} from clips.jpg"])
def test_a_missing_photo_is_told_as_in_a_folder(tmp_path: Path, photo: str) -> None:
    assert lost_among({}, [signing(photo)]) == lost_photos(tmp_path, [signing(photo)])
    assert "is missing from attachments" in lost_among({}, [signing(photo)])[photo]


def test_an_altered_one_too(tmp_path: Path) -> None:
    (tmp_path / FOLDER).mkdir()
    (tmp_path / FOLDER / NAME).write_bytes(b"another picture")
    assert lost_among({NAME: "f" * 64}, [signing(NAME)]) == lost_photos(tmp_path, [signing(NAME)])
    assert lost_among({NAME: NAME[:16] + "0" * 48}, [signing(NAME)]) == {}
