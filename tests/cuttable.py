"""A line between a browser and the workbench that can be cut: what the shop's Wi-Fi does, on this machine alone."""

from __future__ import annotations

import contextlib
import socket
import threading
from collections.abc import Iterator


class Line:
    """Passes everything on between a port of its own and another one of this machine, until it is cut."""

    def __init__(self, port: int) -> None:
        self._to = port
        self._open: set[socket.socket] = set()
        self._lock = threading.Lock()
        self._is_cut = False
        self._swallow = False
        self._door = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._door.getsockname()[1]
        threading.Thread(target=self._listen, daemon=True).start()

    def cut(self) -> None:
        """Break every connection, and refuse new ones."""
        with self._lock:
            self._is_cut = True
            broken, self._open = self._open, set()
        for one in broken:
            _shut(one)

    def mend(self) -> None:
        """Let connections through again."""
        with self._lock:
            self._is_cut = self._swallow = False

    def swallow_answers(self) -> None:
        """Let what is asked through, but none of the answers: the connection breaks where an answer would come."""
        with self._lock:
            self._swallow = True

    def close(self) -> None:
        """Cut for good."""
        self.cut()
        self._door.close()

    def _listen(self) -> None:
        while True:
            try:
                near, _ = self._door.accept()
            except OSError:
                return
            if self._is_cut:
                _shut(near)
                continue
            try:
                far = socket.create_connection(("127.0.0.1", self._to))
            except OSError:
                _shut(near)
                continue
            with self._lock:
                self._open |= {near, far}
            threading.Thread(target=self._pass, args=(near, far, False), daemon=True).start()
            threading.Thread(target=self._pass, args=(far, near, True), daemon=True).start()

    def _pass(self, source: socket.socket, target: socket.socket, is_answer: bool) -> None:
        with contextlib.suppress(OSError):
            while some := source.recv(65536):
                if is_answer and self._swallow:
                    break
                target.sendall(some)
        for one in (source, target):
            _shut(one)
            with self._lock:
                self._open.discard(one)


@contextlib.contextmanager
def line_to(port: int) -> Iterator[Line]:
    """Give a line to a port of this machine."""
    line = Line(port)
    try:
        yield line
    finally:
        line.close()


def _shut(one: socket.socket) -> None:
    with contextlib.suppress(OSError):
        one.shutdown(socket.SHUT_RDWR)
    one.close()
