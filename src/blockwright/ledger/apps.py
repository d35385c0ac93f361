"""The ledger as a Django app."""

from django.apps import AppConfig


class LedgerConfig(AppConfig):
    """The app `ledger`: books of events, attachments, and the people who work at the bench."""

    name = "blockwright.ledger"
    label = "ledger"
    default_auto_field = "django.db.models.BigAutoField"
