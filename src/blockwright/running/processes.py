"""Processes that share out work on one machine: how they begin, and that none outlives the one that began it."""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_all_start_methods, get_context, parent_process
from typing import Any


def pool(processes: int, begin: Callable[..., object] | None = None, *words: Any) -> ProcessPoolExecutor:
    """A pool of processes that know nothing of this one but what they are given; each calls `begin` first."""
    method = "forkserver" if "forkserver" in get_all_start_methods() else "spawn"
    return ProcessPoolExecutor(processes, get_context(method), _begun, (begin, *words))


def _begun(begin: Callable[..., object] | None, *words: Any) -> None:
    """A process leaves Ctrl-C to the one that started it, and ends when that one is gone, however it went."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = parent_process()
    if parent is not None:

        def follow() -> None:
            parent.join()
            os._exit(1)

        threading.Thread(target=follow, daemon=True).start()
    if begin is not None:
        begin(*words)
