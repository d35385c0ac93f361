"""Faults that are done to a real bench on purpose, and what is left of the readings afterwards. All of it on this machine's own address."""
