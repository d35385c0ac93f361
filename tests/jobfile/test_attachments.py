"""Photos of a job: what is one, under which name it is kept, and what is noticed of one that is missing or altered."""

import datetime as dt
import hashlib

import pytest

from blockwright.engine.steps import Given, Signed, Signing
from blockwright.jobfile import attachments
from blockwright.jobfile.attachments import keep, lost_photos, photo_from
from blockwright.problems import BlockwrightError

PNG = b"\x89PNG\r\n\x1a\n and no more"
JPEG = b"\xff\xd8\xff\xe1 and no more"


def signing(*photos: str) -> Signing:
    return Signing(1, Signed.SIGNED, "wash", "R. Quill", dt.datetime(2026, 10, 9, tzinfo=dt.UTC), Given(photos=photos))


@pytest.mark.parametrize(("data", "kind"), [(PNG, "png"), (JPEG, "jpg")])
def test_it_is_kept_under_the_digest_of_its_bytes(tmp_path, data, kind) -> None:
    (tmp_path / "My  clip; 1.JPEG").write_bytes(data)
    photo = photo_from(tmp_path, "My  clip; 1.JPEG")
    assert photo.words == f"{hashlib.sha256(data).hexdigest()[:16]}.{kind} from My clip; 1.JPEG"
    keep(tmp_path, [photo])
    keep(tmp_path, [photo])
    assert [path.name for path in (tmp_path / "attachments").iterdir()] == [photo.name]
    assert (tmp_path / "attachments" / photo.name).read_bytes() == data
    assert lost_photos(tmp_path, [signing(photo.words)]) == {}


@pytest.mark.parametrize(
    ("data", "words"), [(b"", "it is empty"), (b"GIF89a", "no PNG or JPEG"), (b"%PDF-1.7", "no PNG or JPEG"), (b"\xff\xd8", "no PNG")]
)  # fmt: skip
def test_what_is_no_photo(tmp_path, data, words) -> None:
    (tmp_path / "clip.jpg").write_bytes(data)
    with pytest.raises(BlockwrightError) as refused:
        photo_from(tmp_path, "clip.jpg")
    [problem] = refused.value.problems
    assert words in problem.what
    assert problem.mend


def test_one_that_is_too_large_or_not_there(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr(attachments, "MOST_BYTES", 20)
    (tmp_path / "clip.png").write_bytes(PNG + b"!" * 20)
    with pytest.raises(BlockwrightError, match="larger than"):
        photo_from(tmp_path, "clip.png")
    for name in ("other.png", "."):
        with pytest.raises(BlockwrightError, match="no such file"):
            photo_from(tmp_path, name)


def test_nothing_is_written_over(tmp_path) -> None:
    (tmp_path / "clip.png").write_bytes(PNG)
    photo = photo_from(tmp_path, "clip.png")
    kept = tmp_path / "attachments" / photo.name
    kept.parent.mkdir()
    kept.write_bytes(b"something else")
    with pytest.raises(BlockwrightError, match="altered since it was kept"):
        keep(tmp_path, [photo])
    assert kept.read_bytes() == b"something else"


def test_one_that_is_missing_or_altered_is_told(tmp_path) -> None:
    (tmp_path / "clip.png").write_bytes(PNG)
    photo = photo_from(tmp_path, "clip.png")
    keep(tmp_path, [photo])
    kept = tmp_path / "attachments" / photo.name
    kept.write_bytes(PNG + b" ")
    assert "was altered" in lost_photos(tmp_path, [signing(photo.words)])[photo.words]
    kept.unlink()
    words = lost_photos(tmp_path, [signing(photo.words)])[photo.words]
    assert words == f"photo {photo.name} (clip.png) is missing from attachments"
    assert list(lost_photos(tmp_path, [signing("by hand.jpg")])) == ["by hand.jpg"]
    assert lost_photos(tmp_path, [signing("clip.png")]) == {}
