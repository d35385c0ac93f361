"""The pages as a Django application."""

from __future__ import annotations

from django.apps import AppConfig


class BenchConfig(AppConfig):
    """Label `bench`."""

    name = "blockwright.bench"
    label = "bench"
