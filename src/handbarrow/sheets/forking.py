"""A second process that is a copy of this one: it knows all that this one has read, imported and worked out.

Only where that is safe: on Linux, and while this process has a single thread. A copy has none of the other threads, so
whatever one of them holds would be held for good.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import IO

__all__ = ["Forked", "may_fork"]

THREADS = Path("/proc/self/task")


def may_fork() -> bool:
    """Whether this process can be copied safely."""
    if sys.platform != "linux":
        return False
    with suppress(OSError):
        return len(list(THREADS.iterdir())) == 1
    return False


class Forked:
    """A copy of this process that does one work and ends: what `subprocess.Popen` has, as far as it is used here."""

    def __init__(self, work: Callable[[IO[bytes], IO[bytes]], object]) -> None:
        """Copy this process.

        Args:
            work: What the copy does, with the stream that it reads from and the one that it writes to.

        Raises:
            OSError: If the system refuses.
        """
        to_copy, from_copy = os.pipe(), os.pipe()
        try:
            self.pid = os.fork()
        except OSError:
            for end in (*to_copy, *from_copy):
                os.close(end)
            raise
        if self.pid == 0:
            _be_the_copy(work, to_copy, from_copy)
        os.close(to_copy[0])
        os.close(from_copy[1])
        self.stdin: IO[bytes] = os.fdopen(to_copy[1], "wb")
        self.stdout: IO[bytes] = os.fdopen(from_copy[0], "rb")
        self.returncode: int | None = None

    def kill(self) -> None:
        """End it, whatever it does."""
        if self.returncode is None:
            os.kill(self.pid, signal.SIGKILL)

    def wait(self) -> int:
        """Wait until it has ended; return how."""
        if self.returncode is None:
            self.returncode = os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1])
        return self.returncode


def _be_the_copy(
    work: Callable[[IO[bytes], IO[bytes]], object], to_copy: tuple[int, int], from_copy: tuple[int, int]
) -> None:
    """Work, and end without doing anything that this process does at its end: nothing comes back from here."""
    code = 1
    try:
        os.close(to_copy[1])
        os.close(from_copy[0])
        nowhere = os.open(os.devnull, os.O_RDWR)
        for usual in (0, 1, 2):
            os.dup2(nowhere, usual)
        with os.fdopen(to_copy[0], "rb") as asked, os.fdopen(from_copy[1], "wb") as answers:
            work(asked, answers)
        code = 0
    finally:
        os._exit(code)
