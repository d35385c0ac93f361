"""The server that carries the bench: one worker process with several threads, started and stopped from the terminal or by a service manager.

One worker, since what is folded of a book is held in its memory and a shop has a handful of tablets. The worker watches the process that started
it and ends with it, however that ended: no orphan holds the port.
"""

from __future__ import annotations

import ctypes
import logging
import os
import signal
import socket
import sys
import threading
import time
import urllib.error
import urllib.request
import webbrowser
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import Any

from blockwright.problems import BlockwrightError, Place, Problem

LOOPBACK = "127.0.0.1"
PORT = 8471
THREADS = 8
"""Requests that are worked on at once."""
PARENT_LOOK_S = 0.5
READY_WITHIN_S = 30.0
DEATH_SIGNAL = 1
"""PR_SET_PDEATHSIG of Linux: the kernel ends a child with its parent."""
STOP_WITHIN_S = 10


@dataclass(frozen=True)
class Listening:
    """Where the bench listens. `certificate` and `key`: served encrypted; `named`: the address that people are told, where it is another."""

    host: str = LOOPBACK
    port: int = PORT
    certificate: Path | None = None
    key: Path | None = None
    named: str = ""

    @property
    def address(self) -> str:
        """The address to open."""
        scheme = "https" if self.certificate else "http"
        usual = self.port == (443 if self.certificate else 80)
        return f"{scheme}://{self.named or self.host}{'' if usual else f':{self.port}'}/"


def serve(at: Listening, ready: Callable[[], None] = lambda: None) -> None:
    """Serve until Ctrl-C or SIGTERM; `ready` is called once the bench answers. Django must have been started.

    Raises BlockwrightError where the port is taken.
    """
    from granian.constants import Interfaces
    from granian.log import LogLevels
    from granian.server import Server

    check_port(at)
    keep_on_when_left()
    close_connections()
    here = os.getpid()
    server = Server(
        "blockwright.bench.wsgi:application", address=at.host, port=at.port, interface=Interfaces.WSGI, workers=1, blocking_threads=THREADS,
        websockets=False, log_level=LogLevels.error, ssl_cert=at.certificate, ssl_key=at.key, workers_kill_timeout=STOP_WITHIN_S,
    )  # fmt: skip
    threading.Thread(target=_when_it_answers, args=(at, ready), daemon=True).start()
    server.serve(target_loader=partial(application, here, at), wrap_loader=False)


def keep_on_when_left() -> None:
    """Let a client that goes away be an error and not the end: the command line has a broken pipe end its process, as `| head` wants it."""
    if hasattr(signal, "SIGPIPE"):
        signal.signal(signal.SIGPIPE, signal.SIG_IGN)


def check_port(at: Listening) -> None:
    """Raises BlockwrightError where something else listens there, or where this user may not."""
    with socket.socket(socket.AF_INET6 if ":" in at.host else socket.AF_INET, socket.SOCK_STREAM) as tried:
        tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            tried.bind((at.host, at.port))
            tried.listen(1)
        except OSError as fault:
            raise BlockwrightError(_not_there(at, fault)) from None


def _not_there(at: Listening, fault: OSError) -> Problem:
    place = Place(field="port")
    if isinstance(fault, PermissionError):
        return Problem(
            "bench-port", f"port {at.port} is not for this user.", "Take one above 1023: --port 8471.", place
        )
    mend = (
        f"If a bench is open already, it is at {at.address}; else take another port: --port {min(at.port + 1, 65535)}."
    )
    return Problem("bench-port", f"port {at.port} of {at.host} is taken.", mend, place)


def close_connections() -> None:
    """What this process opened to make the tables; the worker opens its own."""
    from django.db import connections

    for connection in connections.all(initialized_only=True):
        connection.close()
        close_pool = getattr(connection, "close_pool", None)
        if close_pool is not None:
            close_pool()


def application(parent: int, at: Listening) -> Any:
    """In the worker: the application, and the watch over the process that started it."""
    die_with(parent)
    keep_on_when_left()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C reaches the whole group; the parent ends the worker in order
    from blockwright.bench.wsgi import application as found

    import_module("blockwright.bench.urls")  # the first who asks does not wait for it
    if at.certificate is not None:
        from blockwright.bench.shop_door import open_plain_door

        open_plain_door(at)
    return found


def die_with(parent: int) -> None:
    """End this process when its parent has ended: by the kernel where it can, and by looking twice a second."""
    if sys.platform == "linux":
        with suppress(OSError, AttributeError):
            ctypes.CDLL(None).prctl(DEATH_SIGNAL, signal.SIGKILL)
    threading.Thread(target=_watch, args=(parent,), daemon=True).start()


def _watch(parent: int) -> None:
    while os.getppid() == parent:
        time.sleep(PARENT_LOOK_S)
    os._exit(1)


def _when_it_answers(at: Listening, ready: Callable[[], None]) -> None:
    until = time.monotonic() + READY_WITHIN_S
    while time.monotonic() < until:
        if _answers(at):
            ready()
            return
        time.sleep(0.05)


def _answers(at: Listening) -> bool:
    """Whether something listens; over an unencrypted port, whether it is the bench and alive."""
    host = LOOPBACK if at.host in ("0.0.0.0", "") else at.host
    try:
        if at.certificate is not None:
            socket.create_connection((host, at.port), timeout=1).close()
            return True
        with urllib.request.urlopen(f"http://{host}:{at.port}/healthz", timeout=1) as answer:
            return bool(answer.status == 200)
    except (OSError, urllib.error.URLError):
        return False


def open_browser(address: str) -> None:
    """Open the address in the user's browser, where there is one."""
    with suppress(webbrowser.Error):
        webbrowser.open(address)


def quiet_log(level: str) -> None:
    """How much the bench tells on standard error."""
    logging.getLogger("blockwright").setLevel(level)
