"""All pages about people, for `bench.urls`. In local mode nobody signs in, and there are none."""

from __future__ import annotations

from django.conf import settings

from blockwright.bench.addresses import Address
from blockwright.bench.people import devices, shop, signing, switching

EVERY: tuple[Address, ...] = (*signing.ADDRESSES, *switching.ADDRESSES, *shop.ADDRESSES, *devices.ADDRESSES)
ADDRESSES = EVERY if settings.SHOP else ()
