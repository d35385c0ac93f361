"""A photo under a signature: signed by its digest, handed out with a fixed type and to nobody without a seat, missed where it is not kept."""

from __future__ import annotations

import struct
import zlib
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile

from blockwright.bench import state
from blockwright.demos import demo_texts
from blockwright.ledger.books import open_book
from blockwright.ledger.models import Book

from .conftest import Page
from .shop_hands import hire, open_shop, signed_in

OWN = "own: tray"
STEP = {
    "key": OWN,
    "name": "Tray of small parts",
    "before": ["mock-up: parts"],
    "evidence": [{"proof": "photo", "what": "the tray"}],
}


def chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


PNG = (
    b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", 2, 2, 8, 0, 0, 0, 0))
    + chunk(b"IDAT", zlib.compress(b"\0\x10\x20" * 2)) + chunk(b"IEND", b"")
)  # fmt: skip


def send(page: Page, content: bytes) -> Any:
    return page.client.post(
        page.at("photos/"), {"photo": SimpleUploadedFile("tray.png", content)}, headers={"Accept": "application/json"}
    )


def test_a_step_is_signed_by_a_photo_and_shows_it(page: Page) -> None:
    assert page.act("sheet changed", {"table": "step", "values": [STEP]}).status_code == 201
    refused = page.act("step signed", {"step": OWN})
    assert refused.json()["problems"][0]["field"] == "photos"
    kept = send(page, PNG).json()["photo"]
    assert page.act("step signed", {"step": OWN, "photos": [f"{kept} from tray.png"]}).status_code == 201
    shown = page.get(f"route/{OWN}/")
    assert [each.name for each in shown.context["photos"]] == ["tray.png"]
    served = page.client.get(shown.context["photos"][0].to)
    assert (served.status_code, served["Content-Type"], served["X-Content-Type-Options"]) == (
        200,
        "image/png",
        "nosniff",
    )


def test_a_photo_that_is_gone_opens_its_step_again(page: Page, monkeypatch: Any) -> None:
    page.act("sheet changed", {"table": "step", "values": [STEP]})
    kept = send(page, PNG).json()["photo"]
    page.act("step signed", {"step": OWN, "photos": [f"{kept} from tray.png"]})
    assert page.get(f"route/{OWN}/").context["state"].done
    monkeypatch.setattr("blockwright.bench.route.now._digests", lambda book: {})
    again = page.get(f"route/{OWN}/").context["state"]
    assert not again.done
    assert "is missing" in again.reopened[0]


def test_what_is_no_photo_or_too_large_is_not_taken(page: Page, monkeypatch: Any) -> None:
    refused = send(page, b"<svg xmlns='http://www.w3.org/2000/svg'/>")
    assert (refused.status_code, refused.json()["problems"][0]["field"]) == (422, "photo")
    monkeypatch.setattr("blockwright.bench.secure.uploads.MOST_BYTES", 20)
    assert send(page, PNG).status_code == 422


def test_a_photo_is_not_for_strangers(settings: Any, page: Page, transactional_db: None) -> None:
    name = send(page, PNG).json()["photo"]
    state.forget()
    other: Book = open_book(demo_texts("harbour"), "A. Hand", name="other")
    assert page.client.get(f"/e/{other.slug}/photos/{name}/").status_code == 404, "another engine does not have it"
    open_shop(settings)
    stranger = signed_in(hire("S. Strange"))
    assert stranger.get(page.at(f"photos/{name}/")).status_code == 404
