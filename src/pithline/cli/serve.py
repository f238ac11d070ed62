"""``pithline serve``: open the book in the browser."""

from __future__ import annotations

import os
import sys
import threading
from contextlib import ExitStack
from pathlib import Path
from tempfile import TemporaryDirectory

import click

from pithline.cli.book_input import book_options

__all__ = ["command"]


@click.command(
    "serve",
    epilog="""
\b
Examples:
  pithline serve --check
  pithline serve --demo --check

\b
Without --check it goes on until you press Ctrl-C. Only this machine can reach the book
unless --host opens it to a network; that needs a passphrase, set on the page Settings.
""",
)
@book_options
@click.option("--demo", is_flag=True, help="An invented book to look round in, thrown away at the end.")
@click.option("--port", type=click.IntRange(1, 65535), metavar="N", help="Another port, for this time.")
@click.option("--host", default="127.0.0.1", metavar="ADDRESS", help="Open to a network: 0.0.0.0, or one.")
@click.option(
    "--called", multiple=True, metavar="NAME", help="A further name this machine goes by. Repeat for more."
)
@click.option("--browser/--no-browser", default=True, help="Open the first page in the browser.")
@click.option("--check", is_flag=True, help="Open the book, get its first page, say how it went, and stop.")
@click.option("--until-eof", is_flag=True, hidden=True, help="Stop when standard input ends.")
def command(
    book: Path | None,
    database: str | None,
    demo: bool,
    port: int | None,
    host: str,
    called: tuple[str, ...],
    browser: bool,
    check: bool,
    until_eof: bool,
) -> None:
    """Open the book: logs, plans, slabs and where they lie, as pages in the browser.

    The first start makes an empty book; a newer Pithline brings an older book
    up to date and keeps a copy of it. The address stays the same at every
    start, because phones remember it.
    """
    from pithline.errors import BadValue
    from pithline.web.passphrase import is_set
    from pithline.web.serving import address, listen, names_of_this_machine, serve
    from pithline.web.site import PORT, configure_site
    from pithline.yard.opening import book_folder, bring_up_to_date

    if demo and (book or database):
        raise BadValue("--demo", "with a book", "alone", "It makes a book of its own and throws it away.")
    open_to_others = host not in ("127.0.0.1", "::1", "localhost")
    if demo and open_to_others:
        raise BadValue("--host", host, "left out with --demo", "The demo book is for this machine only.")
    if demo:
        os.environ.pop("PITHLINE_DATABASE_URL", None)  # that book is not the demo's to fill
    with ExitStack() as at_end:
        place = at_end.enter_context(listen(host, 0 if check else port or PORT + demo))
        folder = (
            Path(at_end.enter_context(TemporaryDirectory(prefix="pithline-"))) if demo else book_folder(book)
        )
        if open_to_others and not is_set(folder):
            raise BadValue(
                "--host",
                host,
                "this machine's own while the book has no passphrase",
                "Set one under Settings.",
            )
        hosts = (*called, *(names_of_this_machine() if open_to_others else ()))
        # Its own cookies: a browser keeps them by host, and the user's book may be open beside the demo.
        cookies = {"SESSION_COOKIE_NAME": "demo_session", "CSRF_COOKIE_NAME": "demo_csrf"} if demo else {}
        configure_site(folder, database, hosts, PITHLINE_DEMO=demo, **cookies)
        changed = bring_up_to_date()
        if demo:
            from pithline.yard.demo import (
                fill,
                lay_it,
                plan_it,
            )  # its records exist once Django knows the book

            fill()
        if check:
            click.echo(_first_page(folder, changed))
            return
        where = address(place)

        def plan() -> None:
            try:
                plan_it()
                lay_it()
            except Exception:
                if folder.exists():  # else the book was closed meanwhile, and nobody misses its plan
                    raise

        def ready() -> None:
            what = "The demo book, invented and soon thrown away," if demo else f"The book in {folder}"
            click.echo(f"{what} is open at {where}\nStop with Ctrl-C.", err=True)
            if browser:
                _show(where)
            if demo:
                threading.Thread(target=plan, daemon=True).start()

        serve(place, ready, sys.stdin.buffer if until_eof else None)
        click.echo("Closed.", err=True)


def _first_page(folder: Path, changed: bool) -> str:
    """What one request to the front page gave, without a network."""
    import time

    from django.test import Client

    began = time.perf_counter()
    page = Client(headers={"host": "localhost"}).get("/", follow=True)
    took = time.perf_counter() - began
    if page.status_code != 200:
        raise RuntimeError(f"the first page answered {page.status_code}")
    told = "brought up to date" if changed else "up to date"
    return (
        f"The book in {folder} is {told}; its first page: {len(page.content) / 1000:.1f} kB in {took:.2f} s."
    )


def _show(where: str) -> None:
    """Open the browser, where there is a screen to open one on."""
    import webbrowser

    if sys.platform.startswith("linux") and not (
        os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")
    ):
        return
    # Aside: some browsers keep the call until they are closed.
    threading.Thread(target=webbrowser.open, args=(where,), daemon=True).start()
