"""Photos that are sent in. A library that somebody else wrote makes them and looks at what is left."""

import contextlib
import io
import struct
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, PngImagePlugin

from blockwright.bench.secure import uploads
from blockwright.bench.secure.uploads import cleaned, photo_answer
from blockwright.problems import BlockwrightError

SECRET = b"49.9 degrees north"
WIDE, HIGH = 61, 37


def picture() -> Image.Image:
    image = Image.frombytes(
        "RGB", (WIDE, HIGH), bytes((each * each * 7 + each // 3) % 256 for each in range(3 * WIDE * HIGH))
    )
    image.putpixel((0, 0), (250, 3, 7))
    return image


def saved(kind: str, image=None, **words) -> bytes:
    out = io.BytesIO()
    (image or picture()).save(out, kind, **words)
    return out.getvalue()


def with_exif(up: int) -> Image.Exif:
    exif = Image.Exif()
    exif[0x0112] = up
    exif[0x010E] = SECRET.decode()
    exif[0x010F] = "an invented telephone"
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (49.0, 54.0, 0.0)
    return exif


def opened(content: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(content))
    image.load()
    return image


@pytest.mark.parametrize("up", range(1, 9))
@pytest.mark.parametrize("progressive", [False, True])
def test_a_jpeg_loses_its_place_and_keeps_its_pixels_and_which_way_is_up(up, progressive):
    sent = saved(
        "JPEG", quality=90, exif=with_exif(up), comment=SECRET, progressive=progressive, restart_marker_blocks=2
    )
    assert sent.count(SECRET) == 2
    kept = cleaned(sent)
    assert kept.kind == "jpg"
    assert SECRET not in kept.content
    after = opened(kept.content)
    assert after.tobytes() == opened(sent).tobytes()
    assert dict(after.getexif()) == ({0x0112: up} if up != 1 else {})
    assert not after.getexif().get_ifd(0x8825)
    assert "comment" not in after.info


def test_a_jpeg_keeps_its_colours():
    from PIL import ImageCms

    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    kept = cleaned(saved("JPEG", icc_profile=profile))
    assert opened(kept.content).info["icc_profile"] == profile
    inks = picture().convert("CMYK")
    sent = saved("JPEG", inks)
    assert opened(cleaned(sent).content).tobytes() == opened(sent).tobytes()


@pytest.mark.parametrize("order", ["<", ">"])
def test_which_way_is_up_is_read_in_both_byte_orders(order):
    tiff = (b"II*\0" if order == "<" else b"MM\0*") + struct.pack(f"{order}IHHHIHHI", 8, 1, 0x0112, 3, 1, 6, 0, 0)
    plain = saved("JPEG")
    segment = b"Exif\0\0" + tiff
    sent = plain[:2] + struct.pack(">BBH", 0xFF, 0xE1, len(segment) + 2) + segment + plain[2:]
    assert opened(cleaned(sent).content).getexif()[0x0112] == 6


def test_what_hangs_behind_a_picture_is_left_out():
    """A film, a second picture, a page: a file that is two things at once."""
    for kind, ending in (("JPEG", b"\xff\xd9"), ("PNG", b"IEND\xaeB`\x82")):
        sent = saved(kind) + b"<script>alert(1)</script>" + SECRET
        kept = cleaned(sent).content
        assert kept.endswith(ending)
        assert b"<script>" not in kept


def test_a_small_picture_inside_a_picture_is_left_out():
    plain = saved("JPEG")
    (length,) = struct.unpack_from(">H", plain, 4)
    small = (
        plain[:2]
        + struct.pack(">BBH", 0xFF, 0xE0, 16 + 27)
        + plain[6:18]
        + b"\3\3"
        + SECRET.ljust(27, b".")
        + plain[4 + length :]
    )
    assert SECRET not in cleaned(small).content
    assert opened(cleaned(small).content).tobytes() == opened(plain).tobytes()


def test_a_png_loses_its_words_and_keeps_its_pixels():
    words = PngImagePlugin.PngInfo()
    words.add_text("Location", SECRET.decode())
    words.add_itxt("Comment", SECRET.decode(), zip=False)
    image = picture().convert("RGBA")
    image.putalpha(120)
    sent = saved("PNG", image, pnginfo=words, exif=with_exif(6), dpi=(96, 96))
    assert sent.count(SECRET) == 3
    kept = cleaned(sent)
    assert kept.kind == "png"
    assert SECRET not in kept.content
    after = opened(kept.content)
    assert after.tobytes() == image.tobytes()
    assert not dict(after.getexif())
    assert after.info["dpi"] == pytest.approx((96, 96), rel=1e-3)


def test_cleaning_twice_changes_nothing_more():
    for kind in ("JPEG", "PNG"):
        once = cleaned(saved(kind, exif=with_exif(8)))
        assert cleaned(once.content) == once


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"GIF89a" + b"x" * 60,
        b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>",
        b"%PDF-1.7",
        b"RIFF\x10\0\0\0WEBPVP8 ",
        b"MZ" * 40,
    ],
)
def test_what_is_no_photo_is_refused(content):
    with pytest.raises(BlockwrightError, match="no PNG or JPEG"):
        cleaned(content)


def test_a_page_that_begins_like_a_photo_is_refused():
    for beginning in (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"):
        with pytest.raises(BlockwrightError, match="broken"):
            cleaned(beginning + b"<script>alert(1)</script>" * 9)


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_photo_cut_off_anywhere_is_refused(kind):
    content = saved(kind)
    for end in range(8, len(content) - 2, 7):
        with pytest.raises(BlockwrightError):
            cleaned(content[:end])


@given(
    st.binary(max_size=300),
    st.sampled_from([b"\xff\xd8\xff", b"\xff\xd8\xff\xe0\0\x10JFIF\0", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR"]),
)
def test_nothing_that_is_sent_breaks_the_bench(rest, beginning):
    with contextlib.suppress(BlockwrightError):
        cleaned(beginning + rest)


@given(st.data())
def test_a_photo_with_a_byte_changed_is_refused_or_read(data):
    content = bytearray(saved("JPEG"))
    content[data.draw(st.integers(2, len(content) - 1))] = data.draw(st.integers(0, 255))
    try:
        kept = cleaned(bytes(content))
    except BlockwrightError:
        return
    assert cleaned(kept.content) == kept


def test_a_png_with_a_wrong_sum_is_refused():
    content = bytearray(saved("PNG"))
    content[content.index(b"IDAT") + 9] ^= 1
    with pytest.raises(BlockwrightError, match="broken"):
        cleaned(bytes(content))


def test_a_picture_that_unfolds_beyond_measure_is_refused():
    head = b"IHDR" + struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    bomb = b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + head + struct.pack(">I", zlib.crc32(head))
    with pytest.raises(BlockwrightError, match="60000 by 60000"):
        cleaned(bomb)


def test_a_photo_that_is_too_large_is_refused(monkeypatch):
    content = saved("JPEG")
    monkeypatch.setattr(uploads, "MOST_BYTES", len(content))
    cleaned(content)
    with pytest.raises(BlockwrightError, match="larger than"):
        cleaned(content + b"x")


def test_a_photo_is_handed_out_shut_in():
    kept = cleaned(saved("PNG"))
    answer = photo_answer(kept.kind, kept.content, "0123456789abcdef.png")
    assert answer["Content-Type"] == "image/png"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert "sandbox" in answer["Content-Security-Policy"]
    assert answer["Content-Disposition"] == 'inline; filename="0123456789abcdef.png"'
    assert answer.content == kept.content


# Sent and fetched by the pages


@pytest.fixture
def two_books(settings, db):
    from blockwright.acts.roles import Role
    from blockwright.bench.people.hands import give_seat
    from blockwright.ledger.models import Book

    from .shop_hands import hire, open_shop, signed_in

    open_shop(settings)
    book, other = Book.objects.create(title="Four"), Book.objects.create(title="Six")
    ada, bruno = (
        hire("Ada Invented", book=book, role=Role.MEASURER),
        hire("Bruno Invented", book=other, role=Role.BUILDER),
    )
    give_seat(bruno, book, None)
    return book, other, signed_in(ada), signed_in(bruno)


def test_a_photo_of_one_book_is_not_read_through_another(two_books):
    """By a digest that was guessed, or known from elsewhere."""
    book, other, ada, bruno = two_books
    sent = ada.post(f"/e/{book.slug}/photos/", {"photo": io.BytesIO(saved("JPEG", exif=with_exif(6)))})
    assert sent.status_code == 201
    name = sent.json()["photo"]
    mine = ada.get(f"/e/{book.slug}/photos/{name}/")
    assert mine.status_code == 200
    assert SECRET not in mine.content
    assert "sandbox" in mine["Content-Security-Policy"]
    for slug in (book.slug, other.slug):
        assert bruno.get(f"/e/{slug}/photos/{name}/").status_code == 404
    for guess in ("0" * 16 + ".jpg", name + "x", f"../{name}", "job.toml"):
        assert ada.get(f"/e/{book.slug}/photos/{guess}/").status_code == 404


def test_what_is_no_photo_is_not_kept(two_books):
    from blockwright.ledger.models import Attachment

    book, _other, ada, _bruno = two_books
    page = io.BytesIO(b"\xff\xd8\xff<html><script>alert(1)</script>")
    page.name = "photo.jpg"
    assert (
        ada.post(f"/e/{book.slug}/photos/", {"photo": page}, headers={"Accept": "application/json"}).status_code == 422
    )
    assert ada.post(f"/e/{book.slug}/photos/", {}, headers={"Accept": "application/json"}).status_code == 422
    assert not Attachment.objects.exists()
