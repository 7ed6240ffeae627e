"""The command that opens the workbench."""

from __future__ import annotations

import sys
import threading
import webbrowser
from pathlib import Path
from typing import TYPE_CHECKING

from handbarrow.cli.app import FilesError
from handbarrow.language import say

if TYPE_CHECKING:
    from handbarrow.web.serving import Address

__all__ = ["run"]

MOMENT = 0.5
"""How long the browser waits before it is opened [s]."""


def run(folder: Path, port: int, *, share: bool, opens: bool) -> None:
    """Serve the projects of a folder until Ctrl-C.

    Raises:
        FilesError: If the port is taken or the folder cannot be made.
    """
    from handbarrow.web.serving import bound, serve, share_for

    try:
        listening = bound(port, shared=share)
    except OSError as fault:
        raise FilesError(
            say("cannot listen on port {port}: {why}; give another with --port", port=port, why=fault.strerror or fault)
        ) from fault

    def ready(address: Address) -> None:
        _told(folder, address)
        if opens:
            threading.Timer(MOMENT, webbrowser.open, [address.local]).start()

    try:
        serve(folder, listening, share_for() if share else None, ready)
    except OSError as fault:
        raise FilesError(say("cannot use {path}: {why}", path=folder, why=fault.strerror or fault)) from fault
    finally:
        listening.close()


def _told(folder: Path, address: Address) -> None:
    """Say where the workbench is, and how other devices come in."""
    lines = [
        say("Workbench of {folder}", folder=folder),
        say("  on this computer: {address}", address=address.local),
    ]
    if address.code:
        lines += [say("  on other devices: {address}", address=one) for one in address.network]
        lines.append(say("  code for other devices: {code}", code=f"{address.code[:3]} {address.code[3:]}"))
    lines.append(say("Stop it with Ctrl-C."))
    sys.stdout.write("\n".join(lines) + "\n")
    if address.network:
        _show_square(address.network[0])
    sys.stdout.flush()


def _show_square(text: str) -> None:
    """The address as a square code, for the phone's camera."""
    if sys.stdout.isatty():
        import segno

        segno.make(text, error="m").terminal(out=sys.stdout, compact=True)
