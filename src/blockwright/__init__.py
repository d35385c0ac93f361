"""Blockwright: from gauge readings to engine fits with honest verdicts."""

__version__ = "0.1.0"
