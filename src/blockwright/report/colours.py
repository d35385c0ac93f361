"""The colours of every picture: blue, ochre and vermilion stay apart for every eye, and none of them means anything without a shape and a word."""

from __future__ import annotations

INK, SOFT = "#17191b", "#5b5f62"
"""What is read, and what is read second."""
PAPER = "#fffdf8"
LINE, STEEL, PLATE, SHADE = "#b9b3a5", "#efebe0", "#ddd7c9", "#c9c4b8"
"""Fine lines; the face of a rule or of metal; a plate in section; ground to keep clear of."""
BLUE, OCHRE, VERMILION = "#1d4f91", "#8a5a00", "#b3261e"
"""Conforms, undecided, out."""

INKS = {"ink": INK, "soft": SOFT, "line": LINE, "steel": STEEL, "blue": BLUE, "ochre": OCHRE, "vermilion": VERMILION}
"""Those that printed pages are set in, by name."""
