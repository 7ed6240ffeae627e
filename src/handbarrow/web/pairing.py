"""Sharing on the shop's Wi-Fi: another device is let in once it gave the code that this computer shows."""

from __future__ import annotations

import ipaddress
import secrets
import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Protocol
from urllib.parse import parse_qs

from starlette.responses import RedirectResponse, Response
from starlette.types import Scope

from handbarrow.web.answers import door

__all__ = ["DOOR", "Pairing", "Share", "fresh_code", "is_local"]

DOOR = "/pair"
PAIRED = "paired"
TRIES = 5
"""Wrong codes after which everybody waits."""
WAIT = 60.0
"""How long [s]."""
YEAR = 365 * 24 * 3600


@dataclass(frozen=True, slots=True)
class Share:
    """What sharing needs: the code, and the names and addresses of this computer on the network."""

    code: str
    hosts: tuple[str, ...]


class Seals(Protocol):
    """Makes and checks seals."""

    def seal(self, purpose: str, text: str) -> str:
        """Return a seal on a text."""

    def holds(self, purpose: str, text: str, seal: str) -> bool:
        """Whether a seal is good."""


def fresh_code() -> str:
    """Return a new code of six figures."""
    return f"{secrets.randbelow(1_000_000):06d}"


def is_local(address: str) -> bool:
    """Whether an address is this very computer."""
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return False
    mapped = getattr(found, "ipv4_mapped", None)
    return (mapped or found).is_loopback


class Pairing:
    """The door for other devices. This computer itself goes through without a code."""

    def __init__(self, share: Share, seals: Seals, clock: Callable[[], float] = time.monotonic) -> None:
        self._share = share
        self._seals = seals
        self._clock = clock
        self._lock = threading.Lock()
        self._wrong: list[float] = []

    def is_door(self, path: str) -> bool:
        """Whether a path is the door."""
        return path == DOOR

    def knows(self, address: str, cookies: Mapping[str, str]) -> bool:
        """Whether a device may come in."""
        return is_local(address) or self._seals.holds("paired", self._share.code, cookies.get(PAIRED, ""))

    def answer(self, path: str, address: str, cookies: Mapping[str, str], body: bytes, scope: Scope) -> Response | None:
        """Return the door's answer to a device that is not known yet, or that stands at the door; None: come in."""
        if self.knows(address, cookies):
            return RedirectResponse("/", status_code=303) if self.is_door(path) else None
        if not self.is_door(path) or scope["method"] != "POST":
            return door(401, scope)
        if self._must_wait():
            return door(429, scope)
        given = parse_qs(body.decode("utf-8", "replace")[:200]).get("code", [""])[0]
        if not secrets.compare_digest("".join(given.split()).encode(), self._share.code.encode()):
            with self._lock:
                self._wrong.append(self._clock())
            return door(403, scope)
        answer = RedirectResponse("/", status_code=303)
        seal = self._seals.seal("paired", self._share.code)
        answer.set_cookie(PAIRED, seal, max_age=YEAR, httponly=True, samesite="strict")
        return answer

    def _must_wait(self) -> bool:
        """Whether too many wrong codes came of late, from whomever: six figures must not be found by trying."""
        with self._lock:
            now = self._clock()
            self._wrong = [moment for moment in self._wrong if now - moment < WAIT]
            return len(self._wrong) >= TRIES
