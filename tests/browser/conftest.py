"""The workbench as a person meets it: its pages in a real browser (Chromium), served by the program on this machine."""

from __future__ import annotations

import shutil
import socket
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from handbarrow.web.app import create_app

HOUSE = Path(__file__).parents[2]
BUNDLE = HOUSE / "src/handbarrow/web/static/built/main.js"
FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
]
"""Draws without a graphics card, and does nothing of its own accord in the network."""
PATIENT = 30_000
"""How long a page may take on a busy machine [ms]."""


@dataclass
class Watched:
    """A page, what went wrong in it, and where it asked."""

    page: Page
    faults: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def is_sound(self) -> None:
        """Nothing went wrong, and nothing was asked outside of this machine."""
        assert self.faults == []
        assert [
            url for url in self.asked if not url.startswith(("http://127.0.0.1:", "ws://127.0.0.1:", "data:"))
        ] == []

    def drawn(self) -> int:
        """Wait until the picture is there; return the number of the state that it shows."""
        self.page.wait_for_selector("#viewer[data-drawn]")
        return int(self.page.locator("#viewer").get_attribute("data-drawn") or 0)

    def drawn_after(self, number: int) -> int:
        """Wait until a later state is drawn."""
        self.page.wait_for_function("n => Number(document.querySelector('#viewer')?.dataset.drawn) > n", arg=number)
        return self.drawn()


@dataclass
class Shop:
    """A running workbench and its folder."""

    root: Path
    port: int

    def address(self, path: str = "/p/hut/", port: int | None = None) -> str:
        """Return the address of a page."""
        return f"http://127.0.0.1:{port or self.port}{path}"

    @property
    def design(self) -> Path:
        """The design file of the project."""
        return self.root / "hut" / "design.yaml"


@pytest.fixture(scope="session")
def chromium() -> Iterator[Callable[..., Browser]]:
    """Start the browser, with further flags if need be."""
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    if program is None:
        pytest.fail("the browser Chromium is missing (Debian: apt install chromium)")
    if not BUNDLE.is_file():
        pytest.fail("the modules of the workbench are not built: run make modules")
    started: dict[tuple[str, ...], Browser] = {}
    with sync_playwright() as playwright:

        def start(*more: str) -> Browser:
            if more not in started:
                started[more] = playwright.chromium.launch(executable_path=program, args=[*FLAGS, *more])
            return started[more]

        yield start
        for browser in started.values():
            browser.close()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Serve a folder with the hut trailer, in this process."""
    root = tmp_path / "root"
    (root / "hut").mkdir(parents=True)
    shutil.copy(HOUSE / "examples/hut-trailer.yaml", root / "hut/design.yaml")
    shutil.copy(HOUSE / "examples/ridge-workshop.yaml", root / "hut/workshop.yaml")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    config = uvicorn.Config(
        create_app(root), host="127.0.0.1", port=port, log_level="error", timeout_graceful_shutdown=1
    )
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started and thread.is_alive():
        time.sleep(0.02)
    yield Shop(root, port)
    server.should_exit = True
    thread.join(10)


@pytest.fixture
def opened(chromium: Callable[..., Browser]) -> Iterator[Callable[..., Watched]]:
    """Open pages; every one is as in a browser of its own unless a context is given."""
    contexts: list[BrowserContext] = []

    def open_(url: str, *flags: str, context: BrowserContext | None = None, **wanted: Any) -> Watched:
        if context is None:
            wanted.setdefault("viewport", {"width": 1366, "height": 900})
            context = chromium(*flags).new_context(**wanted)
            contexts.append(context)
        context.set_default_timeout(PATIENT)
        watched = Watched(context.new_page())
        watched.page.on("pageerror", lambda fault: watched.faults.append(str(fault)))
        watched.page.on("request", lambda request: watched.asked.append(request.url))
        watched.page.on("websocket", lambda one: watched.asked.append(one.url))
        answer = watched.page.goto(url, wait_until="commit")
        assert answer is not None and answer.ok, f"{url}: {answer and answer.status}"
        watched.page.wait_for_selector("html[data-ready]")
        return watched

    yield open_
    for context in contexts:
        context.close()
