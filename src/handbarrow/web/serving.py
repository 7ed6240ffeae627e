"""Running the workbench: its address, its door for other devices, and its end."""

from __future__ import annotations

import contextlib
import ctypes
import socket
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import uvicorn

from handbarrow.web.app import create_app
from handbarrow.web.pairing import Share, fresh_code

__all__ = ["Address", "bound", "network_names", "serve", "share_for"]

HOME, EVERYWHERE = "127.0.0.1", "0.0.0.0"  # noqa: S104 - only where sharing was asked for
ARENAS, MOST_ARENAS = -8, 2
"""Number of the setting in glibc's malloc.h (M_ARENA_MAX), and its value."""
PATIENCE = 3
"""How long open connections may take at the end [s]."""


@dataclass(frozen=True, slots=True)
class Address:
    """Where the workbench is found. `network`: addresses for other devices, empty if it is not shared."""

    local: str
    network: tuple[str, ...]
    code: str


def bound(port: int, *, shared: bool) -> socket.socket:
    """Return a socket that listens; port 0 takes any free one.

    Raises:
        OSError: If the port is taken.
    """
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((EVERYWHERE if shared else HOME, port))
        listening.listen()
    except OSError:
        listening.close()
        raise
    return listening


def network_names() -> tuple[str, ...]:
    """Return the addresses and names of this computer on its network; nothing is sent to find them."""
    found: list[str] = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address for documentation; a datagram socket sends nothing here
            found.append(probe.getsockname()[0])
        except OSError:
            pass
    name = socket.gethostname()
    with contextlib.suppress(OSError):
        found += [str(entry[4][0]) for entry in socket.getaddrinfo(name, None, socket.AF_INET)]
    names = [name, f"{name.split('.')[0]}.local"] if name else []
    return tuple(dict.fromkeys([*(one for one in found if not one.startswith("127.")), *names]))


def share_for() -> Share:
    """Return what sharing needs, with a fresh code."""
    return Share(code=fresh_code(), hosts=network_names())


def serve(root: Path, listening: socket.socket, share: Share | None, ready: Callable[[Address], None]) -> None:
    """Serve a folder of projects until it is interrupted.

    Args:
        root: The folder.
        listening: From `bound`.
        share: From `share_for`, if other devices are to be let in.
        ready: Told the address just before the first request is taken.
    """
    _spare_memory()
    app = create_app(root, share=share)
    port = listening.getsockname()[1]
    hosts = [host for host in (share.hosts if share else ()) if host[:1].isdigit()]
    ready(
        Address(
            local=f"http://{HOME}:{port}/",
            network=tuple(f"http://{host}:{port}/" for host in hosts),
            code=share.code if share else "",
        )
    )
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        ws="websockets-sansio",
        ws_max_size=65_536,
        timeout_graceful_shutdown=PATIENCE,
    )
    uvicorn.Server(config).run(sockets=[listening])


def _spare_memory() -> None:
    """Let threads share their stores of free memory, where the system's C library can be told so (glibc)."""
    with contextlib.suppress(OSError, AttributeError):
        ctypes.CDLL(None).mallopt(ARENAS, MOST_ARENAS)
