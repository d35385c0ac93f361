"""The papers that pages are set on."""

from __future__ import annotations

from blockwright.problems import BlockwrightError, Problem, excerpt

PAPERS = {"a4": "a4", "letter": "us-letter"}


def paper(named: str) -> str:
    """The name that typst gives a paper. Raises BlockwrightError where it is neither A4 nor Letter."""
    known = PAPERS.get(named.strip().lower())
    if known is None:
        raise BlockwrightError(Problem("paper-unknown", f"'{excerpt(named)}' is no paper.", "Say A4 or Letter."))
    return known
