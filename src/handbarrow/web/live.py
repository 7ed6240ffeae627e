"""Who listens to a project, and what they are told: that it changed, by whom, and how far work is."""

from __future__ import annotations

import asyncio
import contextlib
import threading
from collections.abc import Callable
from typing import Any

__all__ = ["EVERY", "Hub", "Listener"]

EVERY = 2.0
"""How often the disk is looked at for changes by other programs, while somebody listens [s]."""
MOST_WAITING = 200
Event = dict[str, Any]


class Listener:
    """One tab. Events wait in order until they are sent; one that does not listen any more loses the oldest."""

    def __init__(self, project: str, loop: asyncio.AbstractEventLoop) -> None:
        self.project = project
        self.loop = loop
        self._queue: asyncio.Queue[Event] = asyncio.Queue(MOST_WAITING)

    def offer(self, event: Event) -> None:
        """Put an event in line; only within the loop."""
        if self._queue.full():
            self._queue.get_nowait()
        self._queue.put_nowait(event)

    async def next(self) -> Event:
        """Return the next event, when there is one."""
        return await self._queue.get()


class Hub:
    """Tells listeners. `tell` may be called from any thread."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._listeners: set[Listener] = set()
        self._numbers: dict[str, int] = {}

    def join(self, project: str) -> Listener:
        """Begin to listen; only within a loop."""
        listener = Listener(project, asyncio.get_running_loop())
        with self._lock:
            self._listeners.add(listener)
        return listener

    def leave(self, listener: Listener) -> None:
        """Listen no more."""
        with self._lock:
            self._listeners.discard(listener)

    def tell(self, project: str, event: Event) -> None:
        """Tell everybody who listens to a project."""
        with self._lock:
            listeners = [one for one in self._listeners if one.project == project]
        for listener in listeners:
            with contextlib.suppress(RuntimeError):  # its loop has ended
                listener.loop.call_soon_threadsafe(listener.offer, event)

    def changed(self, project: str, number: int, client: str) -> None:
        """Tell that a project is now in another state; `client`: the tab that changed it."""
        with self._lock:
            known = self._numbers.get(project)
            self._numbers[project] = max(number, known or 0)
        if known is None or number > known:
            self.tell(project, {"kind": "state", "number": number, "client": client})

    def seen(self, project: str, number: int) -> None:
        """Note the state that somebody saw, so that only later ones are told."""
        with self._lock:
            self._numbers.setdefault(project, number)

    def watched(self) -> set[str]:
        """Return the projects that somebody listens to."""
        with self._lock:
            return {listener.project for listener in self._listeners}

    async def watch(self, number_of: Callable[[str], int | None]) -> None:
        """Look at the disk again and again, for as long as the program runs."""
        while True:
            await asyncio.sleep(EVERY)
            for project in self.watched():
                number = await asyncio.to_thread(number_of, project)
                if number is not None:
                    self.changed(project, number, "")
