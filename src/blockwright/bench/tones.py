"""The tone of a verdict: the one word from which a page takes its colour, its stripe and its sign."""

from __future__ import annotations

from enum import StrEnum

from blockwright.fits.assessment import FitResult, Standing


class Tone(StrEnum):
    """Tones, worst first; each is a class of the style sheet."""

    OUT = "out"
    DOUBT = "doubt"
    OPEN = "open"
    PARTLY = "partly"
    SIGNED = "signed"
    PLAIN = "plain"
    GOOD = "good"


OF = {
    Standing.NONCONFORMING: Tone.OUT,
    Standing.UNDECIDED: Tone.DOUBT,
    Standing.OPEN: Tone.OPEN,
    Standing.UNLIMITED: Tone.PLAIN,
    Standing.CONFORMS: Tone.GOOD,
}


def tone_of(result: FitResult) -> Tone:
    """The tone of one fit; what was signed for is neither good nor out."""
    return Tone.SIGNED if result.record is not None else OF[result.standing]
