"""The addresses under `api/v1/`, made one API: who may ask, how refusals are said, how it is described."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path
from ninja.openapi.docs import Swagger

from blockwright import __version__
from blockwright.bench.api import engines, judged, measured, papers, photos, record, worked
from blockwright.bench.api.answering import UnchangedError, unchanged
from blockwright.bench.api.asker import Bearer
from blockwright.bench.api.describing import Described
from blockwright.bench.api.refusing import handle_in

NAMESPACE = "api-1"
ABOUT = (
    "Engines on the bench for other programs. Numbers are SI and not rounded; what was typed stands beside them. "
    "Whatever is done is one act, sent with a key of its own. Where GET is answered, HEAD is too. Refusals are application/problem+json."
)
DOCS = Swagger({"validatorUrl": None, "persistAuthorization": False, "displayOperationId": False})
"""Drawn by files that this server holds; nothing is asked for elsewhere."""

api = Described(
    title=f"Blockwright {__version__}",
    version="1",
    description=ABOUT,
    docs=DOCS,
    urls_namespace=NAMESPACE,
    auth=Bearer(),
)
for module in (engines, judged, measured, worked, record, photos, papers):
    api.add_router("", module.router)
handle_in(api)
api.add_exception_handler(UnchangedError, unchanged)

urlpatterns: list[URLPattern | URLResolver] = [path("api/v1/", api.urls)]
