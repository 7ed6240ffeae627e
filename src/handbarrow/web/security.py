"""Who may ask what: only pages of this workbench, at the addresses that it printed, and nothing larger than is taken.

One layer round the whole application. It refuses a foreign `Host` (so that no other name leads here), a foreign
`Origin` (so that no other page acts here), a form or call without the token of this browser, and a body that is larger
than the limit, counted while it is read. Every answer carries a strict content security policy: nothing is loaded from
anywhere else, no script stands in a page.
"""

from __future__ import annotations

import hmac
import http.cookies
import re
import secrets
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from handbarrow.language import LANGUAGES, speaking
from handbarrow.web import refusals
from handbarrow.web.answers import PAGE_LANGUAGES, refused
from handbarrow.web.pairing import Pairing
from handbarrow.web.refusals import RefusedError

__all__ = ["MOST_BODY", "Guard", "Keeper", "page_language"]

MOST_BODY = 2_000_000
"""Largest form, file or call that is taken [bytes]."""
SAFE = ("GET", "HEAD", "OPTIONS")
BROWSER = "handbarrow"
LANGUAGE = "language"
TOKEN_HEADER = "x-handbarrow-token"  # noqa: S105 - the name of a header
TOKEN_FIELD = "token"  # noqa: S105 - the name of a field
LOCAL = ("127.0.0.1", "localhost", "[::1]")
HOST = re.compile(r"([A-Za-z0-9._-]+|\[[0-9a-fA-F:]+\])(?::[0-9]{1,5})?", re.ASCII)
YEAR = 365 * 24 * 3600


class Keeper:
    """Keeps the secret that tokens are made with; it outlives the program, so that open pages stay good."""

    def __init__(self, root: Path) -> None:
        self._path = root / ".handbarrow" / "secret"
        self._secret = self._read() or self._made()

    def _read(self) -> bytes:
        try:
            raw = self._path.read_bytes()
        except OSError:
            return b""
        return raw if len(raw) == 32 else b""

    def _made(self) -> bytes:
        from handbarrow.sheets.whole import write_whole

        made = secrets.token_bytes(32)
        self._path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        write_whole(self._path, made)
        self._path.chmod(0o600)
        return made

    def seal(self, purpose: str, text: str) -> str:
        """Return a seal on a text that only this workbench can make."""
        return hmac.new(self._secret, f"{purpose}\0{text}".encode(), "sha256").hexdigest()

    def holds(self, purpose: str, text: str, seal: str) -> bool:
        """Whether a seal is good."""
        return hmac.compare_digest(self.seal(purpose, text).encode(), seal.encode("utf-8", "replace"))


@dataclass(slots=True)
class _Asked:
    """What is asked, as far as the guard looks at it."""

    scope: Scope
    headers: Headers
    cookies: dict[str, str]
    query: dict[str, list[str]]
    body: bytes = b""
    fresh: list[tuple[str, str]] = field(default_factory=list)
    """Cookies to give the browser."""

    @property
    def path(self) -> str:
        return str(self.scope["path"])


class Guard:
    """The layer round the application."""

    def __init__(self, app: ASGIApp, keeper: Keeper, hosts: Iterable[str] = (), pairing: Pairing | None = None) -> None:
        self._app = app
        self._keeper = keeper
        self._hosts = frozenset(host.lower() for host in (*LOCAL, *hosts))
        self._pairing = pairing

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer why not."""
        if scope["type"] not in ("http", "websocket"):
            await self._app(scope, receive, send)
            return
        asked = _asked(scope)
        browser = self._browser(asked)
        scope["handbarrow.token"] = self._keeper.seal("token", browser)
        with speaking(page_language(asked.query, asked.cookies, asked.headers.get("accept-language", ""))):
            if asked.query.get("lang", [""])[0] in PAGE_LANGUAGES:
                asked.fresh.append((LANGUAGE, asked.query["lang"][0]))
            try:
                self._refuse_foreign(asked)
                if scope["type"] == "http":
                    asked.body = await _body(receive, asked.headers)
                    self._refuse_forged(asked, browser)
            except RefusedError as fault:
                await self._refuse(asked, fault, receive, send)
                return
            await self._let_in(asked, receive, send)

    async def _let_in(self, asked: _Asked, receive: Receive, send: Send) -> None:
        scope = asked.scope
        if scope["type"] == "websocket":
            if self._pairing is not None and not self._pairing.knows(_address(scope), asked.cookies):
                await _close(receive, send)
                return
            await self._app(scope, receive, send)
            return
        sender = _with_headers(send, asked, f"ws://{asked.headers.get('host', '')}")
        if self._pairing is not None and not asked.path.startswith("/static/"):
            answer = self._pairing.answer(asked.path, _address(scope), asked.cookies, asked.body, scope)
            if answer is not None:
                await answer(scope, receive, sender)
                return
        await self._app(scope, _again(asked.body, receive), sender)

    def _browser(self, asked: _Asked) -> str:
        """Return the name of this browser, which its token is made for; a new one gets a cookie."""
        name, _, seal = asked.cookies.get(BROWSER, "").partition(".")
        if name and self._keeper.holds("browser", name, seal):
            return name
        name = secrets.token_hex(16)
        asked.fresh.append((BROWSER, f"{name}.{self._keeper.seal('browser', name)}"))
        return name

    def _refuse_foreign(self, asked: _Asked) -> None:
        host = asked.headers.get("host", "")
        if _name(host) not in self._hosts:
            raise RefusedError(400, refusals.not_from_here("host").findings)
        origin = asked.headers.get("origin")
        acts = asked.scope["type"] == "websocket" or asked.scope["method"] not in SAFE
        if not acts:
            return
        if origin is None:
            same = asked.headers.get("sec-fetch-site", "same-origin") == "same-origin"
            if asked.scope["type"] == "websocket" or not same:
                raise refusals.not_from_here("origin")
        elif urlsplit(origin).netloc.lower() != host.lower():
            raise refusals.not_from_here("origin")

    def _refuse_forged(self, asked: _Asked, browser: str) -> None:
        """An act needs the token of the browser: in a header, or in a field of the form."""
        if asked.scope["method"] in SAFE or (self._pairing is not None and self._pairing.is_door(asked.path)):
            return
        given = asked.headers.get(TOKEN_HEADER) or _token_field(asked)
        if not self._keeper.holds("token", browser, given):
            raise refusals.not_from_here("token")

    async def _refuse(self, asked: _Asked, fault: RefusedError, receive: Receive, send: Send) -> None:
        if asked.scope["type"] == "websocket":
            await _close(receive, send)
            return
        answer = refused(fault, asked.path, asked.headers.get("accept", ""), asked.scope)
        await answer(asked.scope, receive, _with_headers(send, asked, ""))


def page_language(query: dict[str, list[str]], cookies: dict[str, str], accepted: str) -> str:
    """Return the language of a page: as asked in the address, as chosen before, as the browser wishes, else English.

    >>> page_language({}, {}, "de, fr-CH;q=0.9, en;q=0.8"), page_language({"lang": ["fr"]}, {"language": "en"}, "")
    ('fr', 'fr')
    """
    wishes = sorted((_wish(part, place) for place, part in enumerate(accepted.split(",")[:20])), reverse=True)
    wanted = [*query.get("lang", [])[:1], cookies.get(LANGUAGE, ""), *(code for _, _, code in wishes)]
    return next((code for code in wanted if code in PAGE_LANGUAGES and code in LANGUAGES), "en")


def _wish(part: str, place: int) -> tuple[float, int, str]:
    code, _, weight = part.partition(";q=")
    try:
        return float(weight or 1), -place, code.strip().lower().split("-")[0]
    except ValueError:
        return 0.0, -place, ""


# ------------------------------------------------------------------------------------------------ requests
def _asked(scope: Scope) -> _Asked:
    headers = Headers(scope=scope)
    jar: http.cookies.SimpleCookie = http.cookies.SimpleCookie()
    try:
        jar.load(headers.get("cookie", ""))
    except http.cookies.CookieError:
        jar.clear()
    query = parse_qs(scope.get("query_string", b"").decode("latin-1"), max_num_fields=None)
    return _Asked(scope, headers, {name: morsel.value for name, morsel in jar.items()}, query)


def _name(host: str) -> str:
    """The name of a host without its port; empty if it is written in any other way."""
    found = HOST.fullmatch(host)
    return found[1].lower() if found else ""


def _address(scope: Scope) -> str:
    client = scope.get("client")
    return str(client[0]) if client else ""


async def _body(receive: Receive, headers: Headers) -> bytes:
    """Read the body; what is too large is refused as soon as it is seen, whatever its header says."""
    if headers.get("content-length", "0").isdigit() and int(headers.get("content-length", "0")[:12]) > MOST_BODY:
        raise refusals.too_large(MOST_BODY)
    got = bytearray()
    while True:
        message = await receive()
        if message["type"] != "http.request":
            return bytes(got)
        got += message.get("body", b"")
        if len(got) > MOST_BODY:
            raise refusals.too_large(MOST_BODY)
        if not message.get("more_body", False):
            return bytes(got)


def _again(body: bytes, receive: Receive) -> Receive:
    """Let the application read a body that was read already."""
    told = False

    async def inner() -> Message:
        nonlocal told
        if told:
            return await receive()
        told = True
        return {"type": "http.request", "body": body, "more_body": False}

    return inner


def _token_field(asked: _Asked) -> str:
    """The token in a form; of a form with files it is looked for in its first part alone."""
    kind = asked.headers.get("content-type", "")
    if kind.startswith("application/x-www-form-urlencoded"):
        try:
            fields = parse_qs(asked.body.decode("utf-8", "replace"), max_num_fields=5000)
        except ValueError:
            return ""
        return fields.get(TOKEN_FIELD, [""])[0]
    if kind.startswith("multipart/form-data"):
        head, _, rest = asked.body[:4000].partition(b"\r\n\r\n")
        if f'name="{TOKEN_FIELD}"'.encode() in head:
            return rest.partition(b"\r\n")[0].decode("latin-1")
    return ""


# ------------------------------------------------------------------------------------------------ answers
def _with_headers(send: Send, asked: _Asked, socket: str) -> Send:
    async def inner(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _fixed_headers(socket).items():
                headers.setdefault(name, value)
            # what is static is asked for anew each time, by its mark: a new version of the program is seen at once
            headers.setdefault("cache-control", "no-cache" if asked.path.startswith("/static/") else "no-store")
            for name, value in asked.fresh:
                headers.append("set-cookie", f"{name}={value}; Path=/; Max-Age={YEAR}; HttpOnly; SameSite=Strict")
        await send(message)

    return inner


def _fixed_headers(socket: str) -> dict[str, str]:
    policy = {
        "default-src": "'self'",
        "img-src": "'self' data: blob:",
        "connect-src": f"'self' {socket}".strip(),
        "frame-ancestors": "'none'",
        "base-uri": "'none'",
        "object-src": "'none'",
        "form-action": "'self'",
    }
    return {
        "content-security-policy": "; ".join(f"{name} {value}" for name, value in policy.items()),
        "x-content-type-options": "nosniff",
        "referrer-policy": "same-origin",
        "cross-origin-opener-policy": "same-origin",
        "cross-origin-resource-policy": "same-origin",
        "x-frame-options": "DENY",
        "permissions-policy": "camera=(), microphone=(), geolocation=()",
    }


async def _close(receive: Receive, send: Send) -> None:
    message: dict[str, Any] = dict(await receive())
    if message["type"] == "websocket.connect":
        await send({"type": "websocket.close", "code": 4403})
