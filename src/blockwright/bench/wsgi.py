"""The application that a server carries. The environment says where the ledger lies (`ledger.place`)."""

from __future__ import annotations

import os

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "blockwright.bench.settings")

from django.core.wsgi import get_wsgi_application

application = get_wsgi_application()
