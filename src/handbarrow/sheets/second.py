"""A folder made by two processes: each takes the next piece that nobody has begun.

Both know the pieces by their names and make the same of them. Whatever becomes of the second process, this one makes
what is missing: the second can save time and change nothing.
"""

from __future__ import annotations

import json
import os
import pickle
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from typing import IO, TYPE_CHECKING, Any

if TYPE_CHECKING:
    from handbarrow.job.values import Job

__all__ = ["Pieces", "Second", "at_hand", "second_process", "serve"]

START = "import json, sys; sys.path[:] = json.loads(sys.argv[1]); from handbarrow.sheets.second import serve; serve()"
_at_hand: ContextVar[Second | None] = ContextVar("second process", default=None)
FAULTS = (OSError, EOFError, ValueError, pickle.PickleError)
"""What there is when the second process has gone."""


class Pieces:
    """Pieces of work by their names, each made once and handed out once."""

    def __init__(self, makes: Mapping[str, Callable[[], Any]]) -> None:
        """Keep what makes them; those that take longest should come first."""
        self._makes = makes
        self.names = tuple(makes)
        self._left = list(makes)
        self._made: dict[str, Any] = {}
        self._changed = threading.Condition()

    def claim(self) -> str | None:
        """Take the next piece that nobody has begun; None: there is none left."""
        with self._changed:
            return self._left.pop(0) if self._left else None

    def deliver(self, name: str, made: Any) -> None:
        """Hand in a piece that was claimed."""
        with self._changed:
            self._made[name] = made
            self._changed.notify_all()

    def give_back(self, name: str) -> None:
        """Leave a piece that was claimed to others."""
        with self._changed:
            self._left.insert(0, name)
            self._changed.notify_all()

    def take(self, name: str) -> Any:
        """Return a piece: made elsewhere, or now. While it is being made elsewhere, others are made here."""
        while True:
            with self._changed:
                if name in self._made:
                    return self._made.pop(name)
                if not self._left:
                    self._changed.wait()
                    continue
                mine = name if name in self._left else self._left[0]
                self._left.remove(mine)
            made = self._makes[mine]()
            self.deliver(mine, made)


class Second:
    """A second process that makes pieces as long as there are any; see `second_process`."""

    def __init__(self, process: subprocess.Popen[bytes]) -> None:
        """Keep a process that was started with open pipes."""
        self._process = process
        self._leader: threading.Thread | None = None

    def help(self, pieces: Pieces, job: Job, date: str, with_step: bool) -> None:
        """Let it make pieces of the folder of a job from now on."""
        self._leader = threading.Thread(target=self._lead, args=(pieces, (job, date, with_step)))
        self._leader.start()

    def _lead(self, pieces: Pieces, asked: tuple[Job, str, bool]) -> None:
        into, out = self._process.stdin, self._process.stdout
        name = None
        try:
            _send(into, asked)
            while name := pieces.claim():
                _send(into, name)
                pieces.deliver(name, pickle.load(out))  # type: ignore[arg-type]  # noqa: S301 - our own process
        except FAULTS:
            pass  # what is missing is made here
        finally:
            if name:
                pieces.give_back(name)

    def end(self) -> None:
        """End the process, whatever it does."""
        self._process.kill()
        if self._leader:
            self._leader.join()
        for pipe in (self._process.stdin, self._process.stdout):
            with suppress(*FAULTS):  # what could not be sent any more
                if pipe:
                    pipe.close()
        self._process.wait()


@contextmanager
def second_process(*, wanted: bool = True) -> Iterator[Second | None]:
    """Have a second process within a `with`: it gets ready while this one reads and works out; see `at_hand`.

    There is none if it is not wanted, of no use (there is one processor only) or refused by the system.
    """
    second = None
    if wanted and _processors() > 1 and sys.executable:
        with suppress(OSError):
            second = Second(
                subprocess.Popen(  # noqa: S603 - this very Python, no shell
                    [sys.executable, "-c", START, json.dumps(sys.path)],
                    stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
                )
            )  # fmt: skip
    token = _at_hand.set(second)
    try:
        yield second
    finally:
        _at_hand.reset(token)
        if second:
            second.end()


def at_hand() -> Second | None:
    """Return the second process that there is, for one folder."""
    second = _at_hand.get()
    _at_hand.set(None)
    return second


def _processors() -> int:
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on this system
        return os.cpu_count() or 1


def _send(stream: IO[bytes] | None, value: Any) -> None:
    if stream is None:
        raise EOFError
    pickle.dump(value, stream, protocol=pickle.HIGHEST_PROTOCOL)
    stream.flush()


def serve() -> None:
    """Be the second process: make pieces by their names until there is nothing more to read. A fault ends it."""
    asked, answers = sys.stdin.buffer, sys.stdout.buffer
    sys.stdout = sys.stderr
    from handbarrow.language import speaking
    from handbarrow.sheets.folder_pieces import folder_makes, folder_pieces

    with suppress(*FAULTS, KeyboardInterrupt):
        job, date, with_step = pickle.load(asked)  # noqa: S301 - from the process that started this one
        with speaking(job.workshop.language):
            makes = folder_makes(job, date, folder_pieces(job, date, with_step))
            while True:
                _send(answers, makes[pickle.load(asked)]())  # noqa: S301
