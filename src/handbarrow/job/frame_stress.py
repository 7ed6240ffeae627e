"""Stress at every section of every part, and where it is worst over all cases."""

from __future__ import annotations

import numpy as np

from handbarrow.design.values import Run, Target
from handbarrow.findings import Finding
from handbarrow.job import frame_findings as tell
from handbarrow.job.frame_values import FrameOfProduct, Subject, Worst
from handbarrow.laws.frame.cold_bends import left_after_bending
from handbarrow.laws.frame.solve import Solution
from handbarrow.laws.frame.stress import equivalent_along
from handbarrow.laws.frame.values import Member
from handbarrow.laws.geometry.path import Vec3, closest, vec3
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.materials.steel import least_yield
from handbarrow.workshop.values import StockItem

__all__ = ["STATIONS", "Stresses", "allowed_in", "yield_of_stock"]

STATIONS = (0.0, 0.25, 0.5, 0.75, 1.0)
"""Where along each member stresses are looked at."""


def yield_of_stock(item: StockItem | None) -> float | None:
    """Return the yield strength that the shop reckons with, else the least of its steel [MPa]; None: not known."""
    grade = least_yield(item.steel) if item is not None else None
    given = item.yield_mpa if item is not None else None
    return given if given is not None else grade.yield_mpa if grade is not None else None


def allowed_in(limit: float, section: Section | None, *, bent: bool) -> float:
    """Return what is left of a yield strength for loads: cold bends keep a part of it [MPa]."""
    return limit * left_after_bending(section) if bent and section is not None else limit


class Stresses:
    """The worst place of each part so far."""

    def __init__(self, job: Subject) -> None:
        """Nothing is known yet."""
        self.job = job
        self._worst: dict[str, Worst] = {}
        self._yields: dict[str, float | None] = {}

    def yield_of(self, part: str) -> float | None:
        """Yield strength that the shop reckons with, else the least one of its steel [MPa]; None: not known."""
        if part not in self._yields:
            shape = self.job.design.part(part).shape
            role = self.job.design.stock[shape.stock] if isinstance(shape, Run) else None
            item = self.job.workshop.stock.get(role.label) if role is not None else None
            self._yields[part] = yield_of_stock(item)
        return self._yields[part]

    def add(self, found: FrameOfProduct, solution: Solution) -> None:
        """Look at all members in all solved cases."""
        if not solution.cases:
            return
        members = solution.model.frame.members
        stress = equivalent_along(solution, STATIONS)
        over = np.array([self._share(found, member) for member in members])
        used = stress * over[None, :, None]
        rows: dict[str, list[int]] = {}
        for m, member in enumerate(members):
            rows.setdefault(found.owner[member.name].part, []).append(m)
        for part, mine in rows.items():
            c, row, k = np.unravel_index(int(np.argmax(used[:, mine])), used[:, mine].shape)
            m = mine[int(row)]
            worst = self._at(found, solution, int(c), m, int(k), float(stress[c, m, k]))
            before = self._worst.get(part)
            if before is None or _rank(worst) > _rank(before):
                self._worst[part] = worst

    def _share(self, found: FrameOfProduct, member: Member) -> float:
        """1 over what is allowed; 1 where that is not known."""
        allowed = self._allowed(found.owner[member.name].part, member)
        return 1.0 if allowed is None else 1.0 / allowed

    def _allowed(self, part: str, member: Member) -> float | None:
        limit = self.yield_of(part)
        return None if limit is None else allowed_in(limit, member.section.shape, bent=member.arc is not None)

    def _at(self, found: FrameOfProduct, solution: Solution, c: int, m: int, k: int, stress: float) -> Worst:
        member = solution.model.frame.members[m]
        target = found.owner[member.name]
        at = self._place(solution, m, STATIONS[k])
        return Worst(
            part=target.part, copy=target.copy, case=solution.cases[c].name, stress_mpa=stress,
            allowed_mpa=self._allowed(target.part, member), at=at, along=self._along(target, at),
            in_bend=member.arc is not None,
        )  # fmt: skip

    def _place(self, solution: Solution, m: int, share: float) -> Vec3:
        ready, member = solution.model, solution.model.frame.members[m]
        a, b = ready.at[ready.numbers[member.start]], ready.at[ready.numbers[member.end]]
        return vec3(a + (b - a) * share)

    def _along(self, target: Target, at: Vec3) -> float:
        placement = self.job.product.of_part(target.part)[target.copy - 1]
        m = np.asarray(placement.transform, float)
        own = m[:3, :3].T @ (np.asarray(at) - m[:3, 3])
        return closest(self.job.product.members[target.part].centreline, vec3(own)).along

    def worst(self) -> tuple[Worst, ...]:
        """The worst place of each part, in the order of the design."""
        return tuple(self._worst[p.id] for p in self.job.design.parts if p.id in self._worst)

    def findings(self) -> list[Finding]:
        """Steels whose yield is not known, once each."""
        lacking: dict[str, list[str]] = {}
        for part in self._worst:
            shape = self.job.design.part(part).shape
            if self.yield_of(part) is None and isinstance(shape, Run):
                lacking.setdefault(self.job.design.stock[shape.stock].label, []).append(part)
        return [tell.yield_unknown(stock, parts) for stock, parts in lacking.items()]


def _rank(worst: Worst) -> float:
    return worst.stress_mpa if worst.utilisation is None else worst.utilisation
