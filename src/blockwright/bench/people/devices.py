"""Pages for the owner: tablets and how to pair one, tokens for other programs. And for a tablet: pairing, and the shop's certificate."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect

from blockwright.bench.addresses import Address, Need
from blockwright.bench.people import codes, tablets, tokens, tries
from blockwright.bench.people.answers import attempt, me, page
from blockwright.bench.people.hands import proper_name
from blockwright.bench.people.reach import address_of, code_picture, plain_address, plain_port
from blockwright.bench.secure.certificate import authority_in, fingerprint
from blockwright.bench.secure.plain_door import CERTIFICATE, FILE
from blockwright.ledger.models import ApiToken, Hand, Tablet
from blockwright.problems import BlockwrightError, Place, Problem


def tablets_page(request: HttpRequest) -> HttpResponse:
    """Every tablet; a name for a new one leads to its pairing page."""
    if request.method == "POST":
        return attempt(request, "tablets", lambda: _tablets(request), **_tablets_here())
    return page(request, "tablets", **_tablets_here())


def _tablets(request: HttpRequest) -> HttpResponse:
    if "strike" in request.POST:
        tablets.strike_off(_one(Tablet, request.POST["strike"]))
        return redirect("tablets")
    return _pairing(request, proper_name(request.POST.get("name", "")))


def _pairing(request: HttpRequest, name: str) -> HttpResponse:
    """The two codes to scan, shown this once: for the certificate, and for the pairing itself."""
    code = codes.new_code(codes.PAIR, by=me(request), name=name)
    link, plain = address_of(request, "pair", code), plain_address()
    authority = authority_in(settings.DATA) if plain_port() else None
    return page(
        request,
        "pairing",
        name=name,
        code=code,
        link=link,
        picture=code_picture(link),
        plain=plain,
        plain_picture=code_picture(plain) if plain else "",
        prints=fingerprint(authority) if authority else (),
        typed=address_of(request, "pair"),
    )


def _tablets_here() -> dict[str, Any]:
    return {"tablets": Tablet.objects.select_related("paired_by").order_by("revoked_at", "name")}


def pair(request: HttpRequest) -> HttpResponse:
    """At the tablet: the code makes it one of the shop's."""
    if request.method == "POST":
        return attempt(request, "pair", lambda: _pair(request))
    return page(request, "pair")


def _pair(request: HttpRequest) -> HttpResponse:
    counted = tries.counted(request, codes.PAIR)
    _tablet, token = tablets.pair(request.POST.get("code", ""))
    counted.forgiven()
    response = redirect("hands")
    tablets.remember(response, token)
    return response


def tokens_page(request: HttpRequest) -> HttpResponse:
    """Every token; making one, which is shown this once; taking one back."""
    if request.method == "POST":
        return attempt(request, "tokens", lambda: _tokens(request), **_tokens_here())
    return page(request, "tokens", **_tokens_here())


def _tokens(request: HttpRequest) -> HttpResponse:
    if "revoke" in request.POST:
        tokens.revoke(_one(ApiToken, request.POST["revoke"]))
        return redirect("tokens")
    hand = _one(Hand, request.POST.get("hand", ""))
    if not hand.user.is_active:
        raise BlockwrightError(Problem("hand", f"{hand.name} has left.", "Choose somebody else.", Place(field="hand")))
    token, text = tokens.new_token(hand, proper_name(request.POST.get("name", "")), may_write="write" in request.POST)
    return page(request, "tokens", **_tokens_here(), made=token, text=text)


def _tokens_here() -> dict[str, Any]:
    held = ApiToken.objects.select_related("hand").order_by("revoked_at", "created_at")
    return {"tokens": held, "people": Hand.objects.filter(user__is_active=True)}


def _one(model, text: str):  # type: ignore[no-untyped-def]
    """The row that a button names. Raises Http404."""
    return get_object_or_404(model, pk=int(text) if text.isascii() and text.isdigit() and len(text) < 10 else -1)


def certificate(request: HttpRequest) -> HttpResponse:
    """The authority's certificate, for a tablet or a computer to trust."""
    authority = authority_in(settings.DATA)
    if authority is None:
        raise Http404("This shop brought its own certificate; there is none to take.")
    kept = {"Content-Disposition": f'attachment; filename="{FILE.strip("/")}"'}
    return HttpResponse(authority, content_type=CERTIFICATE, headers=kept)


ADDRESSES = (
    Address("people/tablets/", "tablets", tablets_page, Need.OWNER, Need.OWNER),
    Address("people/tokens/", "tokens", tokens_page, Need.OWNER, Need.OWNER),
    Address("pair/", "pair", pair, Need.ANYONE, Need.ANYONE),
    Address("shop-certificate/", "certificate", certificate, Need.ANYONE),
)
