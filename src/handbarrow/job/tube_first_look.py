"""A first look at many combinations of tubes: axes as drawn, only sections, masses and steels change.

What stays the same is worked out once: where members run, what each section gives, what 1 N/mm along a member does to
its ends and inside it. A combination then only picks from that, is solved, and is searched for its worst place.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.design.values import Run
from handbarrow.job.frame_cases import carried, case_of, heavy
from handbarrow.job.frame_checks import Asked, Solved, asked_in, solved
from handbarrow.job.frame_stress import STATIONS, allowed_in, yield_of_stock
from handbarrow.job.tube_choices import Roles, Tried, price_by_length
from handbarrow.job.values import Job, JobPart
from handbarrow.laws.frame.along import section_forces
from handbarrow.laws.frame.factor import factored
from handbarrow.laws.frame.member_loads import along_members
from handbarrow.laws.frame.model import assembled, field_forces, unsprung
from handbarrow.laws.frame.sections import beam_section
from handbarrow.laws.frame.solve import DOUBTFUL_PIVOT, answered
from handbarrow.laws.frame.spreading import accelerations, blow
from handbarrow.laws.frame.stress import section_points, stresses, von_mises
from handbarrow.laws.frame.values import BeamSection, Distributed, LoadCase, Member
from handbarrow.laws.frame.variants import choices
from handbarrow.laws.geometry.path import cross
from handbarrow.laws.geometry.section import Section
from handbarrow.laws.geometry.section_properties import mass_per_mm
from handbarrow.laws.materials.stock import Stock, parse_stock
from handbarrow.workshop.values import Workshop

__all__ = ["FirstLook"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

UNITS = 6
"""1 N/mm along x, y, z: three at the start of a member that fade to its end, three the other way round."""
NO_DIE = "bend-radius-has-no-die"
"""Code of the finding for a tube that is bent over a die as drawn, but has none in the shop."""
AT_ONCE = 200
"""So many places are looked at exactly before it is asked whether another one can still be worse."""


class Worst(NamedTuple):
    """How far the worst place is used [-], its part and its case."""

    used: float
    part: str
    case: str


class FirstLook:
    """A design as drawn, ready to be given other sections."""

    def __init__(self, job: Job, roles: Sequence[str], labels: Sequence[str]) -> None:
        """Work out what no combination changes.

        Args:
            job: The design as drawn, built.
            roles: The roles that are given other stock.
            labels: All stock that they may be given.
        """
        self.job, self.roles = job, tuple(roles)
        self.sections: dict[str, Section] = {}
        for label in labels:
            stock = parse_stock(label)
            if isinstance(stock, Stock) and stock.section is not None:
                self.sections[label] = stock.section
        self.role_of = {p.id: p.shape.stock for p in job.design.parts if isinstance(p.shape, Run)}
        self.over_dies = {self.role_of[p.id] for p in job.parts if _over_die(p, job.workshop)}
        self.ways = [_Way(self, one) for one in solved(job)]

    def label_of(self, part: str, stock: Roles) -> str:
        """Label of the stock of a run in a combination."""
        role = self.role_of[part]
        return stock[role] if role in stock else self.job.design.stock[role].label

    def at(self, stock: Roles) -> Tried | None:
        """Look at one combination; None where the frame is not held and has to be built to be judged.

        Args:
            stock: Label of the stock of each role that is changed.
        """
        if any(role in self.over_dies and not self.job.workshop.dies_for(label) for role, label in stock.items()):
            return Tried(stock=dict(stock), faults=(NO_DIE,), built=False)
        found: list[Worst] = []
        for way in self.ways:
            worst = way.worst(stock)
            if worst is None:
                return None
            found += worst
        one = max(found, key=lambda w: w.used, default=None)
        known = one is not None and one.used > 0
        return Tried(
            stock=dict(stock), mass_kg=self._mass(stock), price=self._price(stock),
            margin=1 / one.used - 1 if one is not None and known else None,
            part=one.part if one is not None and known else "", case=one.case if one is not None and known else "",
            built=False,
        )  # fmt: skip

    def _mass(self, stock: Roles) -> float | None:
        """Mass of one unit: what is changed weighs its lengths as drawn."""
        if not self.job.masses:
            return None
        more = 0.0
        for part in self.job.parts:
            if self.role_of.get(part.id) in stock and part.section is not None and part.mass_kg is not None:
                share = mass_per_mm(self.sections[self.label_of(part.id, stock)]) / mass_per_mm(part.section)
                more += part.mass_kg * part.quantity * (share - 1)
        return self.job.masses[-1].mass_kg + more

    def _price(self, stock: Roles) -> float | None:
        """Price of the bars of one unit by the metre, cut lengths as drawn; None if one is not known."""
        out = []
        for part in self.job.parts:
            if part.section is not None and part.cut_length is not None:
                rate = price_by_length(self.job.workshop.stock.get(self.label_of(part.id, stock)))
                if rate is None:
                    return None
                out.append(rate * part.cut_length * part.quantity)
        return math.fsum(out)


class _Hit(NamedTuple):
    """A case with a hit: its number, the case whose wheels it grows from, where it hits, what 1 mm/s2 puts on beds."""

    asked: Asked
    case: int
    stands: int
    node: int
    at: Floats


class _Way:
    """One way of standing."""

    def __init__(self, look: FirstLook, one: Solved) -> None:
        self.look, self.way = look, one.way
        frame = one.way.frame
        self.asked = asked_in(look.job, one.way)
        self.numbers = {m.name: k for k, m in enumerate(frame.members)}
        self.parts = [one.way.found.owner[m.name].part for m in frame.members]
        self.every = np.arange(len(frame.members))
        self._choose(frame.members)
        self.cases = [case_of(a.name, a.kind, a.cargo) for a in self.asked]
        units = [_unit(frame.members, k) for k in range(UNITS)]
        self.ready = choices(frame, units, self.sections)
        self.plain = self._on_members([[d for d in c.loads if isinstance(d, Distributed)] for c in self.cases])
        self.field = np.array([c.field_mm_s2 for c in self.cases], float)
        self.on_nodes = field_forces(self.ready.ready, self.cases)
        self.hits = self._hits()
        self.heavy = heavy(frame)
        self.shares: dict[tuple[int, str, bool], float] = {}
        self.known: dict[tuple[tuple[str, str], ...], list[Worst] | None] = {}
        self.matrices: dict[str, Any] = {}
        owners = np.array([look.role_of[part] for part in self.parts])
        rows = {role: np.flatnonzero(owners == role) for role in look.roles}
        self.rows_of = {role: mine for role, mine in rows.items() if len(mine)}
        self.normal, self.shear = (
            np.array([np.abs(section_points(s.shape).normal).max(axis=0) for s in self.sections if s.shape]),
            np.array([np.linalg.norm(section_points(s.shape).shear, axis=1).max(axis=0)
                      for s in self.sections if s.shape]),
        )  # fmt: skip
        self.from_ends, self.from_loads = _insides(one, units)

    # ---------------------------------------------------------------------------------------- sections
    def _choose(self, members: Sequence[Member]) -> None:
        """Every section that a member may have, and which number it is for a member."""
        known: dict[BeamSection, int] = {}
        self.number: list[dict[str, int]] = []
        for member, part in zip(members, self.parts, strict=True):
            own = member.section
            mine = {self.look.job.design.stock[self.look.role_of[part]].label: known.setdefault(own, len(known))}
            if self.look.role_of[part] in self.look.roles:
                for label, shape in self.look.sections.items():
                    beam = beam_section(shape, member.material.poisson)
                    beam = replace(beam, product=math.copysign(beam.product, own.product)) if beam.product else beam
                    mine.setdefault(label, known.setdefault(beam, len(known)))
            self.number.append(mine)
        self.sections = list(known)
        self.bent = np.array([m.arc is not None for m in members])
        self.softer = any(m.softer > 1 for m in members)
        self.per_mm = np.array([[s.area * m.material.density_kg_mm3 for m in members] for s in self.sections])

    # ---------------------------------------------------------------------------------------- loads
    def _on_members(self, loads: Sequence[Sequence[Distributed]]) -> Floats:
        """(c, m, 6) force per length at start and end of members [N/mm]."""
        out = np.zeros((len(loads), len(self.numbers), UNITS))
        for c, some in enumerate(loads):
            for load in some:
                out[c, self.numbers[load.member]] += (*load.first, *(load.last or load.first))
        return out

    def _hits(self) -> list[_Hit]:
        first = {a.cargo.name: c for c, a in enumerate(self.asked) if a.kind.id == self.way.kinds[0].id}
        out = []
        for c, asked in enumerate(self.asked):
            if asked.kind.hub >= 0:
                node, hub, _ = self.way.found.hubs[asked.kind.hub]
                out.append(_Hit(asked, c, first[asked.cargo.name], self.ready.ready.numbers[node], np.asarray(hub)))
        return out

    def _hit(self, hit: _Hit, force: Floats, per_mm: Floats, loads: Floats, on_nodes: Floats) -> None:
        """Add a hit, and the forces of the masses that are sped up, to the loads of its case (as `blown`)."""
        w, cargo = self.heavy, hit.asked.cargo
        kg = per_mm * w.sizes
        masses = np.concatenate(([cargo.mass_kg], kg / 6, kg * 4 / 6, kg / 6, w.masses))
        a, b = w.ends[:, 0], w.ends[:, 1]
        found = blow(masses, np.concatenate((cargo.at[None], a, (a + b) / 2, b, w.places)), force, hit.at)
        pulls = -accelerations(found, np.concatenate((w.ends.reshape(-1, 3), w.places, cargo.at[None])))
        against, pull = pulls[: 2 * len(kg)].reshape(-1, UNITS), pulls[2 * len(kg) : -1] * w.masses[:, None] / 1000
        loads[hit.case] += against * per_mm[:, None] / 1000
        for bed in carried(cargo, pulls[-1]):
            loads[hit.case, self.numbers[bed.member]] += (*bed.first, *(bed.last or bed.first))
        nodes = np.array([self.ready.ready.numbers[n] for n in w.nodes], np.int64)
        np.add.at(on_nodes[hit.case], nodes, np.concatenate((pull, cross(w.places - w.node_at, pull)), axis=1))
        on_nodes[hit.case, hit.node, :3] += force

    # ---------------------------------------------------------------------------------------- solving
    def worst(self, stock: Roles) -> list[Worst] | None:
        """The worst place with a combination; empty: no yield is known; None: not held."""
        mine = tuple((role, stock[role]) for role in self.rows_of if role in stock)  # others are not in this frame
        if mine not in self.known:
            self.known[mine] = self._worst(stock)
        return self.known[mine]

    def _matrix(self, row: Ints) -> Any:
        """Stiffness of the frame: what never changes, and a matrix for each role with its section."""
        if "" not in self.matrices:
            rest = self.ready.stiff[row, self.every]
            for mine in self.rows_of.values():
                rest[mine] = 0.0
            self.matrices[""] = assembled(self.ready.ready, rest)
        out = self.matrices[""]
        for role, mine in self.rows_of.items():
            key = f"{role} {row[mine].tobytes()!r}"
            if key not in self.matrices:
                stiff = np.zeros_like(self.ready.stiff[0])
                stiff[mine] = self.ready.stiff[row[mine], mine]
                self.matrices[key] = assembled(unsprung(self.ready.ready), stiff)
            out = out + self.matrices[key]
        return out.tocsc()

    def _worst(self, stock: Roles) -> list[Worst] | None:
        labels = [self.look.label_of(part, stock) for part in self.parts]
        row = np.array([mine[label] for mine, label in zip(self.number, labels, strict=True)], np.int64)
        ready = self.ready.ready
        beams = replace(ready.beams, stiff=self.ready.own[row, self.every])
        one = replace(ready, beams=beams, stiff=self.ready.stiff[row, self.every])
        factor = factored(self._matrix(row))
        if factor is None or factor.smallest < DOUBTFUL_PIVOT or factor.negative or ready.beams.loose or self.softer:
            return None
        unit = self.ready.held[row, :, self.every]  # (m, 6, 12)
        per_mm = self.per_mm[row, self.every]
        loads = self.plain + np.tile(self.field, 2)[:, None] * (per_mm[:, None] / 1000)
        on_nodes = self.on_nodes.copy()

        def held(some: Ints) -> Floats:
            return np.swapaxes(np.swapaxes(loads[some], 0, 1) @ unit, 0, 1)

        def solve(some: Ints) -> tuple[Floats, Floats, NDArray[np.bool_]]:
            names = [self.cases[c] for c in some]
            answer, kept, _ = answered(one, factor, names, held(some), on_nodes[some])
            return answer.ends, answer.force, kept

        hit = np.array([h.case for h in self.hits], np.int64)
        calm = np.setdiff1d(np.arange(len(self.cases)), hit)
        ends, force, kept = solve(calm)
        done = calm[kept]
        if len(hit):
            rests = len(self.way.found.rests)
            row_of = {int(c): k for k, c in enumerate(done)}
            for h in self.hits:
                if h.stands in row_of:
                    carry = force[row_of[h.stands], rests : rests + self.way.wheels][h.asked.kind.hub]
                    self._hit(h, np.array(h.asked.kind.hit) * carry, per_mm, loads, on_nodes)
            more, _, kept = solve(hit)
            ends, done = np.concatenate((ends, more)), np.concatenate((done, hit[kept]))
        return self._searched(ends, loads[done], done, row, labels)

    def _searched(self, ends: Floats, loads: Floats, done: Ints, row: Ints, labels: Sequence[str]) -> list[Worst]:
        """The worst place of all members, cases and stations: bounds first, the highest ones exactly."""
        forces = np.swapaxes(ends[..., 6:], 0, 1) @ self.from_ends + np.swapaxes(loads, 0, 1) @ self.from_loads
        forces = forces.reshape(len(row), len(done), len(STATIONS), 6)
        points = [section_points(s.shape) for s in self.sections if s.shape is not None]
        share = np.array([self._share(int(r), one, bool(b)) for r, one, b in zip(row, labels, self.bent, strict=True)])
        most = np.stack((self.normal[row], self.shear[row]), axis=2)
        bound = np.abs(forces).reshape(len(row), -1, 6) @ most
        flat = (np.sqrt(bound[..., 0] ** 2 + 3 * bound[..., 1] ** 2) * share[:, None]).ravel()
        first = np.argpartition(-flat, AT_ONCE)[:AT_ONCE] if len(flat) > AT_ONCE else np.arange(len(flat))
        order = first[np.argsort(-flat[first])]
        best = (0.0, -1)
        while len(order):
            some = order[:AT_ONCE]
            member = some // (len(done) * len(STATIONS))
            for r in np.unique(row[member]):
                mine = np.flatnonzero(row[member] == r)
                there = forces.reshape(-1, 6)[some[mine]]
                used = von_mises(stresses(points[r], there)).max(axis=-1) * share[member[mine]]
                k = int(np.argmax(used))
                best = max(best, (float(used[k]), int(some[mine[k]])))
            flat[some] = -1.0  # seen
            order = np.flatnonzero(flat > best[0])
        if best[1] < 0:
            return []
        m, rest = divmod(best[1], len(done) * len(STATIONS))
        return [Worst(best[0], self.parts[m], self.cases[done[rest // len(STATIONS)]].name)]

    def _share(self, section: int, label: str, bent: bool) -> float:
        """1 over what the steel takes [1/MPa]; 0 where that is not known: not judged."""
        if (section, label, bent) not in self.shares:
            limit = yield_of_stock(self.look.job.workshop.stock.get(label))
            shape = self.sections[section].shape
            self.shares[section, label, bent] = 0.0 if limit is None else 1 / allowed_in(limit, shape, bent=bent)
        return self.shares[section, label, bent]


def _over_die(part: JobPart, workshop: Workshop) -> bool:
    """Whether a part is bent over a die of the shop: not over a former, not by hand."""
    dies = {die.name for die in workshop.dies_for(part.stock)}
    return part.card is not None and any(row.die in dies for row in part.card.rows)


def _unit(members: Sequence[Member], k: int) -> LoadCase:
    first, last = ([float(k == i + side) for i in range(3)] for side in (0, 3))
    loads = tuple(
        Distributed(member=m.name, first=(first[0], first[1], first[2]), last=(last[0], last[1], last[2]))
        for m in members
    )  # fmt: skip
    return LoadCase(name=f"unit {k}", loads=loads)


def _insides(one: Solved, units: Sequence[LoadCase]) -> tuple[Floats, Floats]:
    """(m, 6, k 6) what sections carry of forces on the end of a member, and of unit loads along it."""
    ready = one.solution.model
    count = len(ready.frame.members)
    ends = np.zeros((2 * UNITS, count, 12))
    for k in range(UNITS):
        ends[k, :, 6 + k] = 1.0
    cases = (*(LoadCase(name=f"end {k}") for k in range(UNITS)), *units)
    loads = along_members(ready.frame, ready.beams.runs, cases)
    solution = replace(one.solution, cases=cases, end_forces=ends, loads=loads)
    found = np.swapaxes(section_forces(solution, STATIONS), 0, 1).reshape(count, 2 * UNITS, -1)
    return found[:, :UNITS], found[:, UNITS:]
