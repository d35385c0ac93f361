"""What every test shares: how widely the invariants are searched.

A run gives the same answer twice, on a slow machine too, and each worker keeps to one core. `HYPOTHESIS_PROFILE=wide make test` looks further,
and at random.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from hypothesis import settings

settings.register_profile("house", deadline=None, derandomize=True, max_examples=60, database=None)
settings.register_profile("wide", deadline=None, max_examples=2000, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "house"))
