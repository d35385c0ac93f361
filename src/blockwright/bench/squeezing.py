"""Pages of an engine, and what the API tells of one, are sent as gzip: they are mostly words that repeat, and a tablet's radio is slow.

Squeezing can tell a secret to whoever sees only how long the answers are (Gluck, Harris, Prado: BREACH, 2013). It needs all of these at once:
a secret in the answer that stays the same from one to the next; in the same answer a text of the attacker's choosing; the victim's browser
asking thousands of times, signed in, at his bidding; and an ear on the line. Here:

- The one secret in these answers is the mark against forged forms, which Django masks anew each time, so that no two answers hold the same letters.
  Pages that show a password, a PIN, a token or a code of pairing are not under these addresses and are never squeezed.
- No page elsewhere can make a browser ask as if signed in: the session is sent with links that are followed (SameSite=Lax) and nothing else, and
  `secure.doors` answers what comes from elsewhere only where it opens a page in full sight. The API takes no cookie at all.
- Django adds up to a hundred random letters to each answer (the method called Heal the BREACH, 2022), so that one guess takes very many looks.

An address of an engine itself stands in every page of it; who does not know it cannot ask for the page.
"""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.middleware.gzip import GZipMiddleware

UNDER = ("/e/", "/api/v1/")
KINDS = ("text/html", "application/json")


class Squeezed(GZipMiddleware):
    """Squeezes what may be."""

    def process_response(self, request: HttpRequest, response: HttpResponseBase) -> HttpResponseBase:
        """The answer, squeezed where it may be and the browser takes it so."""
        kind = response.get("Content-Type", "").partition(";")[0]
        if not request.path.startswith(UNDER) or kind not in KINDS or response.status_code != 200:
            return response
        assert isinstance(response, HttpResponse)
        return super().process_response(request, response)
