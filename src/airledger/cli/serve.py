"""`airledger serve`: the pages on the house book, for the browser of this machine."""

from __future__ import annotations

import socket
import threading
import webbrowser

import click

from airledger.cli.book import BOOK

LOOPBACK = "127.0.0.1"
USUAL_PORT = 8735
PATIENCE = 1
"""How long open connections are waited for at the end [s]."""


@click.command()
@BOOK
@click.option("--port", type=click.IntRange(0, 65535), default=USUAL_PORT, show_default=True, help="0: any free one.")
@click.option("--no-open", is_flag=True, help="Do not open the page.")
def serve(address: str, port: int, no_open: bool) -> int:
    """Open the house book in your browser: houses, plan, what is running, make-up air, rules, readings, papers.

    It answers this machine alone, without a password; no other machine can reach it. Ctrl-C stops it.
    """
    import uvicorn

    from airledger.house_book import open_book
    from airledger.web.app import application

    book = open_book(address)
    listening = _listening(port)
    at = f"http://{LOOPBACK}:{listening.getsockname()[1]}/"
    click.echo(f"airledger is at {at} (Ctrl-C stops it)")
    if not no_open:
        threading.Timer(0.5, webbrowser.open, [at]).start()
    config = uvicorn.Config(
        application(book),
        log_level="warning",
        access_log=False,
        timeout_graceful_shutdown=PATIENCE,
        server_header=False,
    )
    try:
        uvicorn.Server(config).run([listening])
    except KeyboardInterrupt:
        pass
    finally:
        book.store.close()
    return 0


def _listening(port: int) -> socket.socket:
    """A socket on this machine's own address; one that is taken is told."""
    from airledger.errors import InputError

    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((LOOPBACK, port))
        listening.listen(128)  # who follows the printed address at once waits for the pages
    except OSError as problem:
        listening.close()
        raise InputError(
            f"port {port} cannot be had ({problem.strerror}); another airledger may be running: try --port 0"
        ) from None
    return listening
