"""A folder made by two processes: each takes the next portion that nobody has begun.

Both know the portions by their names and make the same of them. Whatever becomes of the second process, this one makes
what is missing: the second can save time and change nothing. It may begin with the portions in EARLY while this process
still checks the strength: nothing that it makes depends on what the checks say.
"""

from __future__ import annotations

import gc
import json
import os
import pickle
import subprocess
import sys
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from dataclasses import replace
from typing import IO, TYPE_CHECKING, Any

from handbarrow.sheets.forking import Forked, may_fork

if TYPE_CHECKING:
    from handbarrow.job.values import Job

__all__ = ["EARLY", "OWN", "Portions", "Second", "at_hand", "second_process", "serve"]

START = "import json, sys; sys.path[:] = json.loads(sys.argv[1]); from handbarrow.sheets.second import serve; serve()"
EARLY = ("pack.pdf stations", "pack.pdf cards", "pack.pdf jigs", "pack.pdf bender")
"""Portions that every folder has and that take long."""
OWN = ("pack.pdf cover", "pack.pdf lists", "job.json")
"""Portions that need the findings, or the checks of strength, which this process has worked out already. The second
process makes none of them, so that nothing changes in the job that it knows."""
SELDOM = (50_000, 20, 20)
"""How seldom rings of dead objects are looked for: both processes live for seconds and make hardly any."""
FAULTS = (OSError, EOFError, ValueError, pickle.PickleError)
"""What there is when the second process has gone."""

Asked = tuple["Job", str, bool]
"""What `folder_makes` makes portions from: job, date, whether with a STEP file."""


class Portions:
    """Portions of work by their names, each made once and handed out once."""

    def __init__(self) -> None:
        """There are none yet."""
        self._makes: Mapping[str, Callable[[], Any]] = {}
        self._known: set[str] = set()
        self._left: list[str] = []
        self._made: dict[str, Any] = {}
        self._closed = False
        self._changed = threading.Condition()

    def announce(self, names: Iterable[str]) -> None:
        """Let a second process make portions of these names already."""
        with self._changed:
            self._left += [name for name in names if name not in self._known]
            self._known.update(names)
            self._changed.notify_all()

    def offer(self, makes: Mapping[str, Callable[[], Any]]) -> None:
        """Say what makes the portions; there are no others. Those that take longest should come first."""
        self._makes = makes
        self.announce(tuple(makes))
        self.close()

    def close(self) -> None:
        """There will be no more of them."""
        with self._changed:
            self._closed = True
            self._changed.notify_all()

    def claim(self) -> str | None:
        """Take the next portion that nobody has begun, for a second process; None: there is none left for it."""
        with self._changed:
            while True:
                if mine := next((name for name in self._left if name not in OWN), None):
                    self._left.remove(mine)
                    return mine
                if self._closed:
                    return None
                self._changed.wait()

    @contextmanager
    def answered(self, name: str) -> Iterator[Callable[[Any], None]]:
        """Yield what hands in a portion that was claimed; if nothing was handed in, others make it."""
        made: list[Any] = []
        try:
            yield made.append
        finally:
            with self._changed:
                if made:
                    self._made[name] = made[0]
                else:
                    self._left.insert(0, name)
                self._changed.notify_all()

    def take(self, *names: str) -> list[Any]:
        """Return portions: made elsewhere, or now.

        While they are being made elsewhere, others are made here. Several are needed for something long that only this
        process does: it waits for them rather than begin what the second one can do.
        """
        while mine := self._next(names):
            with self.answered(mine) as deliver:
                deliver(self._makes[mine]())
        return [self._made.pop(name) for name in names]

    def _next(self, names: tuple[str, ...]) -> str | None:
        """What to make here: of these the own ones first, then others that nobody has begun; None: these are made."""
        with self._changed:
            while not all(name in self._made for name in names):
                wanted = sorted((name for name in self._left if name in names), key=lambda name: name not in OWN)
                others = [name for name in self._left if len(names) == 1 or name in OWN]
                if mine := next(iter([*wanted, *others]), None):
                    self._left.remove(mine)
                    return mine
                self._changed.wait()
            return None


class Second:
    """A second process that makes portions as long as there are any; see `second_process`."""

    def __init__(self, process: subprocess.Popen[bytes] | None) -> None:
        """Keep a process that was started with open pipes; None: this one is copied when there is a job."""
        self.portions = Portions()
        self._process: subprocess.Popen[bytes] | Forked | None = process
        self._asked: Asked | None = None
        self._leader: threading.Thread | None = None

    def begin(self, job: Job, date: str, with_step: bool) -> None:
        """Let it make what is in EARLY, of a job whose findings are not all known yet."""
        self._asked = (job, date, with_step)
        if self._process is None:
            with suppress(OSError):
                self._process = _copied(*self._asked) if may_fork() else _started()
        self.portions.announce(EARLY)
        self._leader = threading.Thread(target=self._lead)
        self._leader.start()

    def goes_on(self, job: Job, date: str, with_step: bool) -> bool:
        """Whether what it has begun is this very folder, findings apart; if nothing, it begins."""
        if self._asked is None:
            self.begin(job, date, with_step)
        return self._asked is not None and (
            (replace(self._asked[0], findings=job.findings), *self._asked[1:]) == (job, date, with_step)
        )

    def _lead(self) -> None:
        process = self._process
        if process is None:  # the system refused: all is made here
            return
        into, out = process.stdin, process.stdout
        with suppress(*FAULTS):  # what is missing is made here
            if not isinstance(process, Forked):  # a copy has it
                _send(into, self._asked)
            while name := self.portions.claim():
                with self.portions.answered(name) as deliver:
                    _send(into, name)
                    deliver(pickle.load(out))  # type: ignore[arg-type]  # noqa: S301 - our own process

    def end(self) -> None:
        """End the process, whatever it does."""
        process = self._process
        if process:
            process.kill()
        self.portions.close()
        if self._leader:
            self._leader.join()
        if process:
            for pipe in (process.stdin, process.stdout):
                with suppress(*FAULTS):  # what could not be sent any more
                    if pipe:
                        pipe.close()
            process.wait()


@contextmanager
def second_process(*, wanted: bool = True) -> Iterator[Second | None]:
    """Have a second process within a `with`; see `at_hand`.

    It is a copy of this one, made when there is a job (see `forking`), or where that is not safe another Python, which
    gets ready while this one reads and works out. There is none if it is not wanted, of no use (there is one processor
    only) or refused by the system.
    """
    second = None
    if wanted and _processors() > 1 and sys.executable:
        if "numpy" not in sys.modules:  # threads of its own would only be in the way of the second process
            os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
        with suppress(OSError):
            second = Second(None if may_fork() else _started())
    token, usual = _at_hand.set(second), gc.get_threshold()
    gc.set_threshold(*SELDOM)
    try:
        yield second
    finally:
        gc.set_threshold(*usual)
        _at_hand.reset(token)
        if second:
            second.end()


def _started() -> subprocess.Popen[bytes]:
    return subprocess.Popen(  # noqa: S603 - this very Python, no shell
        [sys.executable, "-c", START, json.dumps(sys.path)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
    )  # fmt: skip


def _copied(job: Job, date: str, with_step: bool) -> Forked:
    from handbarrow.sheets import folder_portions  # noqa: F401 - so that only one of both imports it

    return Forked(lambda asked, answers: _serve(asked, answers, (job, date, with_step)))


_at_hand: ContextVar[Second | None] = ContextVar("second process", default=None)


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
    """Be the second process: make portions by their names until there is nothing more to read. A fault ends it."""
    asked, answers = sys.stdin.buffer, sys.stdout.buffer
    sys.stdout = sys.stderr
    gc.set_threshold(*SELDOM)
    with suppress(*FAULTS, KeyboardInterrupt):
        _serve(asked, answers, pickle.load(asked))  # noqa: S301 - from the process that started this one


def _serve(asked: IO[bytes], answers: IO[bytes], what: Asked) -> None:
    from handbarrow.language import speaking
    from handbarrow.sheets.folder_portions import folder_makes, folder_portions

    job, date, with_step = what
    with suppress(*FAULTS, KeyboardInterrupt), speaking(job.workshop.language):
        makes = folder_makes(job, date, folder_portions(job, date, with_step))
        while True:
            _send(answers, makes[pickle.load(asked)]())  # noqa: S301
