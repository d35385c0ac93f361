"""Static files: handed out by whitenoise, squeezed where that makes them much smaller. They hold no secret, so that squeezing tells none."""

from __future__ import annotations

import gzip
import io
import re
from functools import lru_cache
from http import HTTPStatus
from pathlib import Path
from typing import Any
from wsgiref.headers import Headers

from whitenoise.middleware import WhiteNoiseMiddleware
from whitenoise.responders import Response, StaticFile

SQUEEZED = (".css", ".js", ".json", ".otf", ".svg", ".webmanifest")
"""Endings of files that become much smaller; pictures are squeezed already."""
LEAST = 1000
"""Bytes under which squeezing saves no packet."""
MOST_HELD = 256
TAKES = re.compile(r"\bgzip\b(?!\s*;\s*q=0(?:\.0*)?(?:,|\s|$))")


@lru_cache(maxsize=MOST_HELD)
def squeezed(path: str, changed: float, size: int) -> bytes:
    """A file as gzip, made when it is first asked for and held; `changed` and `size` are those that it had then."""
    return gzip.compress(Path(path).read_bytes(), mtime=0)


class SqueezedFile(StaticFile):  # type: ignore[misc]
    """A file that is handed out as gzip to whoever takes it so; parts of it, and to others, as it is."""

    def __init__(self, path: str, headers: Any, **words: Any) -> None:
        super().__init__(path, headers, **words)
        self.plain = self.get_file_stats(path, None, words.get("stat_cache"))[None]

    def get_response(self, method: str, request_headers: Any) -> Response:
        """The answer."""
        plain = super().get_response(method, request_headers)
        takes = TAKES.search(request_headers.get("HTTP_ACCEPT_ENCODING", ""))
        if plain.status != HTTPStatus.OK or not takes:
            return plain
        if plain.file is not None:
            plain.file.close()
        content = squeezed(self.plain.path, self.plain.mtime, self.plain.size)
        headers = [(name, value) for name, value in plain.headers if name != "Content-Length"]
        headers += [("Content-Encoding", "gzip"), ("Content-Length", str(len(content)))]
        return Response(HTTPStatus.OK, headers, None if method == "HEAD" else io.BytesIO(content))


class Files(WhiteNoiseMiddleware):  # type: ignore[misc]
    """Whitenoise with squeezed files."""

    def get_static_file(self, path: str, url: str, stat_cache: Any = None) -> StaticFile:
        """One file as it will be handed out."""
        found = super().get_static_file(path, url, stat_cache=stat_cache)
        headers = Headers(list(found.alternatives[-1][2]))
        size = int(headers["Content-Length"] or 0)
        if size < LEAST or not path.endswith(SQUEEZED):
            return found
        del headers["Content-Length"]
        headers["Vary"] = "Accept-Encoding"
        return SqueezedFile(path, headers.items(), stat_cache=stat_cache)
