"""From the files of a project to its job, kept by their digests: what was worked out once is not worked out again."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any, Generic, Literal, TypeVar

from handbarrow.design.reader import DesignSource, read_design
from handbarrow.drawings.gltf import product_glb
from handbarrow.findings import Finding, errors
from handbarrow.job.checks import checked
from handbarrow.job.frame_values import Check
from handbarrow.job.values import Job
from handbarrow.job.work_out import work_out
from handbarrow.sheets.jobdata import job_document
from handbarrow.web import refusals
from handbarrow.web.project import State
from handbarrow.workshop.reader import ReadShop, read_shop

__all__ = ["Model", "Worked"]

K = TypeVar("K", bound=Hashable)
V = TypeVar("V")
CHORD = 0.3
"""How far a chord may lie from the true curve on a screen [mm]: less than a third of what the eye sees there."""


@dataclass(slots=True)
class Worked:
    """What was worked out of a state: the design and the shop as read, the job if nothing stands against it."""

    source: DesignSource | None
    read: ReadShop
    job: Job | None
    findings: tuple[Finding, ...]
    with_cutting: bool
    _document: dict[str, Any] | None = field(default=None)
    _checks: tuple[Check, ...] | None = field(default=None)

    @property
    def document(self) -> dict[str, Any] | None:
        """The job data without jigs and fit-up; None if there is no job."""
        if self._document is None and self.job is not None:
            self._document = job_document(self.job, making=False)
        return self._document

    @property
    def checks(self) -> tuple[Check, ...]:
        """What was checked, and what was not; made when it is asked for. Empty if there is no job."""
        if self._checks is None:
            self._checks = () if self.job is None else checked(self.job)[0].checks
        return self._checks

    def wanted(self) -> Job:
        """Return the job.

        Raises:
            RefusedError: If findings stand against it.
        """
        if self.job is None:
            raise refusals.not_workable(errors(self.findings))
        return self.job


class _Kept(Generic[K, V]):
    """The last few answers by what was asked; the same thing is not worked out twice at once."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._known: OrderedDict[K, V] = OrderedDict()
        self._lock = threading.Lock()
        self._busy: dict[K, threading.Lock] = {}

    def known(self, key: K) -> V | None:
        with self._lock:
            if key in self._known:
                self._known.move_to_end(key)
            return self._known.get(key)

    def put(self, key: K, value: V) -> None:
        with self._lock:
            self._known[key] = value
            self._known.move_to_end(key)
            while len(self._known) > self._most:
                self._known.popitem(last=False)

    def get(self, key: K, make: Callable[[], V]) -> V:
        found = self.known(key)
        if found is not None:
            return found
        with self._lock:
            busy = self._busy.setdefault(key, threading.Lock())
        try:
            with busy:
                found = self.known(key)
                if found is None:
                    found = make()
                    self.put(key, found)
                return found
        finally:  # also where it failed: nobody is to wait for what is not being made
            with self._lock:
                self._busy.pop(key, None)


class Model:
    """Works out jobs of any project. All methods may be called from several threads."""

    def __init__(self) -> None:
        self._designs: _Kept[tuple[str, str], tuple[DesignSource | None, list[Finding]]] = _Kept(4)
        self._shops: _Kept[tuple[str, str], ReadShop] = _Kept(3)
        self._jobs: _Kept[tuple[str, str, int, bool], Worked] = _Kept(4)
        self._scenes: _Kept[tuple[str, tuple[tuple[str, str], ...]], bytes] = _Kept(3)
        self._evaluating = threading.Lock()

    def worked(self, state: State, units: int, *, cutting: bool = False) -> Worked:
        """Return what a state comes to; with its cutting plan, or (sooner) without one."""
        key = (state.digest, state.design_file, units, cutting)
        if not cutting:
            whole = self._jobs.known((*key[:3], True))
            if whole is not None:
                return whole
        return self._jobs.get(key, partial(self._work_out, state, units, cutting))

    def tried(self, state: State) -> list[Finding]:
        """Return the findings of a state that is only tried; nothing of it is kept."""
        source, findings = read_design(state.content.design, state.design_file)
        with self._evaluating:
            _, told = work_out(source, self.shop(state), findings, 1, with_cutting=False)
        return told

    def put(self, state: State, units: int, job: Job) -> Worked:
        """Take over a job that was worked out elsewhere, with its cutting plan."""
        plain = self.worked(state, units)
        worked = Worked(plain.source, plain.read, job, job.findings, with_cutting=True)
        self._jobs.put((state.digest, state.design_file, units, True), worked)
        return worked

    def scene(self, state: State, units: int, positions: Mapping[str, str]) -> bytes:
        """Return the product as a glTF scene, its assemblies in positions (left out: as drawn).

        Raises:
            RefusedError: If there is no job, or no such position.
        """
        job = self.worked(state, units).wanted()
        for assembly, position in positions.items():
            known = {(one.name, other.name) for one in job.design.assemblies for other in one.positions}
            if (assembly, position) not in known:
                raise refusals.no_such_position(f"{assembly}:{position}")
        key = (state.digest, tuple(sorted(positions.items())))
        return self._scenes.get(key, lambda: product_glb(job, CHORD, positions))

    def design(self, state: State) -> tuple[DesignSource | None, list[Finding]]:
        """Return the design as read, and the findings of reading it."""
        key = (state.content.digests[0], state.design_file)
        return self._designs.get(key, lambda: read_design(state.content.design, state.design_file))

    def shop(self, state: State) -> ReadShop:
        """Return the workshop as read."""
        key = (state.content.digests[1], state.workshop_file)
        return self._shops.get(key, lambda: read_shop(state.content.workshop, state.workshop_file))

    def refuse_broken(self, state: State, *, of: Literal["design", "workshop"]) -> None:
        """Refuse a state one of whose files cannot be read.

        Raises:
            RefusedError: With the findings.
        """
        source, findings = self.design(state)
        read = self.shop(state)
        broken: Iterable[Finding] = findings if of == "design" else read.findings
        if (source if of == "design" else read.shop) is None:
            raise refusals.not_workable(errors(broken))

    def _work_out(self, state: State, units: int, cutting: bool) -> Worked:
        source, findings = self.design(state)
        read = self.shop(state)
        with self._evaluating:  # a design remembers what it evaluated: one at a time
            job, told = work_out(source, read, findings, units, with_cutting=cutting)
        return Worked(source, read, job, tuple(told), with_cutting=cutting)
