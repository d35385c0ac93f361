"""`blockwright bench`: the pages on this machine, or for the tablets of the shop."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from blockwright.problems import BlockwrightError, Place, Problem

if TYPE_CHECKING:
    from blockwright.bench.server import Listening
    from blockwright.bench.shop_door import Own

PORT = 8471
LEVELS = ("DEBUG", "INFO", "WARNING", "ERROR")
DataFolder = Annotated[
    Path | None,
    typer.Option(metavar="DIR", help="Data folder; your own place for data where not given.", show_default=False),
]
Database = Annotated[
    str,
    typer.Option(metavar="URL", help="A PostgreSQL server instead of a file in the data folder.", show_default=False),
]
OwnFile = Annotated[
    Path | None, typer.Option(metavar="FILE", help="With --shop: a PEM file of your own.", show_default=False)
]


def bench(
    data: DataFolder = None,
    database: Database = "",
    port: Annotated[int, typer.Option(help="Port to listen at.", min=1, max=65535)] = PORT,
    open_page: Annotated[
        bool | None,
        typer.Option("--open/--no-open", help="Open the page in a browser; so on a terminal.", show_default=False),
    ] = None,
    shop: Annotated[
        bool, typer.Option("--shop", help="For the shop's tablets too: encrypted, and everybody says who he is.")
    ] = False,
    name: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NAME", help="With --shop: a name or address by which tablets reach it.", show_default=False
        ),
    ] = None,
    certificate: OwnFile = None,
    key: OwnFile = None,
    log: Annotated[str, typer.Option(help="What is told on standard error: info or warning.", show_default=False)] = "",
) -> None:
    """Open the bench: pages for measuring, filing, the route and the papers. Ctrl-C closes it."""
    from blockwright.bench.server import Listening, check_port, open_browser, serve

    if not shop:
        _check_alone({"--name": name, "--certificate": certificate, "--key": key})
    on_terminal = sys.stdout.isatty()
    os.environ["BLOCKWRIGHT_SHOP"] = "1" if shop else "0"
    os.environ["BLOCKWRIGHT_LOG"] = _level(log, on_terminal)
    at = Listening(port=port)
    check_port(at)
    at, join = _for_shop(at, data, database, _own(name, certificate, key)) if shop else _alone(at, data, database)

    def ready() -> None:
        typer.echo(f"The bench is open at {at.address} (Ctrl-C closes it).")
        if join:
            typer.echo(f"It has no owner yet. Within the hour, open {join}")
        sys.stdout.flush()
        if open_page if open_page is not None else on_terminal and not shop:
            open_browser(at.address)

    serve(at, ready)


def _check_alone(said: Mapping[str, object]) -> None:
    """Raises BlockwrightError where something is said that only a bench for the shop heeds: nobody is to believe that tablets reach it."""
    for option in (option for option, value in said.items() if value):
        what = f"{option} is for a bench that tablets reach, and this one is for its own machine."
        raise BlockwrightError(
            Problem("bench-alone", what, f"Say --shop, too, or leave {option} out.", Place(field=option))
        )


def _alone(at: Listening, data: Path | None, database: str) -> tuple[Listening, str]:
    """The bench for this machine alone."""
    from blockwright.ledger.start import start

    start(data, database)
    return at, ""


def _for_shop(at: Listening, data: Path | None, database: str, own: Own) -> tuple[Listening, str]:
    """The bench for the shop: its names told before Django starts, then its certificate, and where the first owner joins."""
    from blockwright.bench.shop_door import join_address, say_names, say_plain_port, shop_listening
    from blockwright.ledger.start import start

    names = say_names(own)
    start(data, database)
    at = shop_listening(at, names, own)
    if own.certificate is None:
        say_plain_port(at)
    return at, join_address(at)


def _own(names: list[str] | None, certificate: Path | None, key: Path | None) -> Own:
    from blockwright.bench.shop_door import Own

    return Own(tuple(names or ()), certificate, key)


def _level(text: str, on_terminal: bool) -> str:
    level = text.strip().upper() or ("WARNING" if on_terminal else "INFO")
    if level not in LEVELS:
        raise BlockwrightError(
            Problem("bench-log", f"'{text}' is no level of telling.", "info or warning.", Place(field="--log"))
        )
    return level
