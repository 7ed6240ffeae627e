"""Work that takes long: written sheets and large cutting plans, each in a process of its own.

A process can be stopped at any moment and leaves the server quick. It gets copies of both files, so what it makes is
of the state at which it was begun, whatever is changed meanwhile; it tells its progress line by line.
"""

from __future__ import annotations

import contextlib
import json
import os
import pickle
import secrets
import shutil
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from handbarrow.job.values import Job
from handbarrow.language import current
from handbarrow.web import refusals
from handbarrow.web.project import SHEETS, Project, State

__all__ = ["KINDS", "Task", "Works"]

KINDS = ("folder", "pack", "cutting")
Stage = Literal["running", "done", "failed", "cancelled"]
MOST_KEPT = 50
MOST_AT_ONCE = 2
PATIENCE = 5.0
"""How long a process that was told to stop may take to put away what it began [s]."""


@dataclass(slots=True)
class Task:
    """Work under way, or done."""

    id: str
    project: str
    kind: str
    number: int
    units: int
    stage: Stage = "running"
    says: str = ""
    done: int = 0
    total: int = 0
    files: list[str] = field(default_factory=list)
    findings: list[dict[str, Any]] = field(default_factory=list)
    process: subprocess.Popen[bytes] | None = None

    def record(self) -> dict[str, Any]:
        """What is told of it."""
        return {
            "id": self.id,
            "kind": self.kind,
            "number": self.number,
            "units": self.units,
            "stage": self.stage,
            "says": self.says,
            "done": self.done,
            "total": self.total,
            "files": self.files,
            "findings": self.findings,
        }


class Works:
    """All work of a workbench."""

    def __init__(self, tell: Callable[[str, dict[str, Any]], None], take: Callable[[State, int, Job], object]) -> None:
        """Set up.

        Args:
            tell: Is told how far the work of a project is.
            take: Takes a job that was worked out with its cutting plan.
        """
        self._tell = tell
        self._take = take
        self._lock = threading.Lock()
        self._tasks: dict[str, Task] = {}

    def begin(self, project: Project, state: State, kind: str, units: int, options: Mapping[str, str]) -> Task:
        """Begin work on a state.

        Raises:
            RefusedError: If as much is under way as this computer bears, or this folder is being written already.
        """
        with self._lock:
            running = [task for task in self._tasks.values() if task.stage == "running"]
            same = [task for task in running if task.project == project.name and task.kind != "cutting"]
            if len(running) >= MOST_AT_ONCE or (same and kind != "cutting"):
                raise refusals.work_waits()
            task = Task(secrets.token_hex(8), project.name, kind, state.number, units)
            self._tasks[task.id] = task
            for old in [t.id for t in self._tasks.values() if t.stage != "running"][:-MOST_KEPT]:
                del self._tasks[old]
            beside = Path(tempfile.mkdtemp(prefix="handbarrow-work-"))
            order = self._order(project, state, task, options, beside)
            task.process = subprocess.Popen(  # noqa: S603 - our own worker, no shell
                [sys.executable, "-m", "handbarrow.web.worker", str(order)],
                stdin=subprocess.DEVNULL,
                stdout=subprocess.PIPE,
                env={**os.environ, "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"},
            )
        threading.Thread(target=self._follow, args=(project, state, task, beside), daemon=True).start()
        return task

    @staticmethod
    def _order(project: Project, state: State, task: Task, options: Mapping[str, str], beside: Path) -> Path:
        """Write down what is to be made."""
        (beside / "design").write_bytes(state.content.design)
        (beside / "workshop").write_bytes(state.content.workshop)
        order = {
            "kind": task.kind,
            "units": task.units,
            "options": dict(options),
            "design": state.design_file,
            "workshop": state.workshop_file,
            "into": str(project.folder / SHEETS),
            "language": current(),
        }
        path = beside / "order.json"
        path.write_text(json.dumps(order), encoding="utf-8")
        return path

    def task(self, project: str, name: str) -> Task:
        """Return work by its number.

        Raises:
            RefusedError: If there is none of that number in this project.
        """
        with self._lock:
            task = self._tasks.get(name)
        if task is None or task.project != project:
            raise refusals.no_such_work(name)
        return task

    def of(self, project: str) -> list[Task]:
        """Return the work of a project, newest first."""
        with self._lock:
            return [task for task in reversed(self._tasks.values()) if task.project == project]

    def cancel(self, task: Task) -> None:
        """Stop work. What it had begun to write is put away; what was there before stays."""
        with self._lock:
            if task.stage != "running" or task.process is None:
                return
            task.stage = "cancelled"
            process = task.process
        process.terminate()
        try:
            process.wait(PATIENCE)
        except subprocess.TimeoutExpired:
            process.kill()

    def close(self) -> None:
        """Stop all work: the program ends."""
        with self._lock:
            running = [task for task in self._tasks.values() if task.stage == "running"]
        for task in running:
            self.cancel(task)

    def _follow(self, project: Project, state: State, task: Task, beside: Path) -> None:
        process = task.process
        if process is None or process.stdout is None:
            return
        try:
            for line in process.stdout:
                self._hear(task, line)
            code = process.wait()
            self._end(state, task, code, beside)
        finally:
            process.stdout.close()
            shutil.rmtree(beside, ignore_errors=True)
            self._put_away(project, task)
            self._tell(task.project, {"kind": "work", **task.record()})

    def _hear(self, task: Task, line: bytes) -> None:
        with contextlib.suppress(ValueError, KeyError, TypeError):
            told = json.loads(line)
            for name in ("says", "done", "total", "files", "findings"):
                if name in told:
                    setattr(task, name, told[name])
            self._tell(task.project, {"kind": "work", **task.record()})

    def _end(self, state: State, task: Task, code: int, beside: Path) -> None:
        made = beside / "job.pickle"
        if code == 0 and made.is_file():
            self._take(state, task.units, pickle.loads(made.read_bytes()))  # noqa: S301 - written by our own worker
        with self._lock:
            if task.stage == "running":
                task.stage = "done" if code == 0 else "failed"

    @staticmethod
    def _put_away(project: Project, task: Task) -> None:
        """Take away the hidden folder of a writing that was killed."""
        if task.stage in ("cancelled", "failed") and task.kind != "cutting":
            for left in project.folder.glob(f".{SHEETS}-*"):
                if left.is_dir() and not left.is_symlink():
                    shutil.rmtree(left, ignore_errors=True)
