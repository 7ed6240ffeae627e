"""The product, or some of its assemblies, as a frame: what is stiff, what turns, what rests, what is heavy.

Runs are members along their centrelines as finished, bends as exact arcs; where axes pass each other, and through
plates, the joint is stiff. What is welded, or bolted tight, moves as one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from handbarrow.design.values import PlateShape, Product, Target
from handbarrow.job.fitup_contacts import contacts
from handbarrow.job.frame_ties import pieces_of_runs, plate_centre, ties, wheel_ties
from handbarrow.job.frame_values import Bed, FrameOfProduct, Joined, Piece, Spot, Tie
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.job.remembered import remembered
from handbarrow.job.values import JobPart
from handbarrow.laws.frame.chain import Chain, Stuff, chain
from handbarrow.laws.frame.values import Contact, Frame, Link, Mass, Member, Node, Spring
from handbarrow.laws.geometry.path import Vec3, closest, cross, length, vec3
from handbarrow.laws.geometry.rigid import moved
from handbarrow.laws.geometry.section_properties import centroid
from handbarrow.workshop.values import Workshop

__all__ = ["frame_of"]

STIFF = 1e6
"""Of what turns in a hole or a sleeve, against all that it does not leave free [N/mm]."""
STIFF_TURN = 1e9
"""[N mm/rad]."""
REST = 1e4
"""How hard tube presses on tube where one rests on the other [N/mm]."""
BESIDE = 100.0
"""Friction, guides and pins with their play hold sideways what rests: as a spring at each place [N/mm]."""
SAME = 1e-6
ALIKE = 1.0
"""Nodes that lie as near to a part as this share it [mm]."""


def frame_of(
    product: Product,
    workshop: Workshop,
    parts: Sequence[JobPart],
    wanted: Mapping[Target, Sequence[Vec3]],
    only: frozenset[str] | None = None,
) -> FrameOfProduct:
    """Return the product as a frame without supports.

    Args:
        product: The placed product.
        workshop: The shop that makes it.
        parts: Its parts, for their masses.
        wanted: Places at which pieces must have nodes beside those of the joints.
        only: Assemblies that are in it; None: all.
    """
    inside = {part.id for part in product.design.parts if only is None or part.assembly in only}
    scene, every, whole, wheels = _tied(product, workshop)
    pieces = {t: p for t, p in every.items() if t.part in inside}
    wheels = [one for one in wheels if one[0].part in inside]
    tied = [tie for tie in whole if tie.one.piece.part in inside and tie.other.piece.part in inside]
    chains = _chains(pieces, tied, wanted)
    build = _Build(scene, pieces, chains)
    touched = {spot.piece for tie in tied for spot in (tie.one, tie.other)}
    for plate in _plates(product, scene, inside):
        if plate in touched:  # one that hangs on bolts alone weighs on what carries them
            build.body(plate, plate_centre(scene, plate))
    for wheel, hub, _, _ in wheels:
        build.body(wheel, hub)
    for number, tie in enumerate(tied):
        build.tie(number, tie)
    masses, missing = build.masses(parts, inside)
    frame = Frame(
        nodes=(*(n for c in chains.values() for n in c.nodes), *build.nodes),
        members=tuple(build.members), links=build.links(), springs=tuple(build.springs),
        contacts=tuple(build.contacts), masses=tuple(masses),
    )  # fmt: skip
    return FrameOfProduct(
        frame=frame, owner=build.owner, nodes=build.places(), beds=build.beds(),
        hubs=tuple((build.named(Spot(wheel)), hub, radius) for wheel, hub, radius, _ in wheels),
        rests=tuple(c.name for c in build.contacts), mass_kg=_mass(frame), missing=missing,
        joined=tuple(build.joined),
    )  # fmt: skip


@remembered
def _tied(
    product: Product, workshop: Workshop
) -> tuple[Scene, dict[Target, Piece], list[Tie], list[tuple[Target, Vec3, float, list[Tie]]]]:
    """All pieces of the product, what ties them, and its wheels: the same for all ways of standing."""
    scene = Scene(product)
    pieces = pieces_of_runs(scene)
    wheels = wheel_ties(scene, pieces)
    tied = ties(scene, pieces, contacts(product, workshop)) + [tie for *_, held in wheels for tie in held]
    return scene, pieces, tied, wheels


def label(target: Target) -> str:
    """Return the name of a piece in the frame."""
    return target.part if target.copy == 1 else f"{target.part} copy {target.copy}"


def _plates(product: Product, scene: Scene, inside: set[str]) -> Iterable[Target]:
    for part in product.design.parts:
        if part.id in inside and isinstance(part.shape, PlateShape):
            for copy in scene.copies[part.id]:
                yield Target(part=part.id, copy=copy)


def _chains(
    pieces: Mapping[Target, Piece], tied: Sequence[Tie], wanted: Mapping[Target, Sequence[Vec3]]
) -> dict[Target, Chain]:
    spots: dict[Target, list[float]] = {target: [] for target in pieces}
    for tie in tied:
        for spot in (tie.one, tie.other):
            if spot.piece in spots:
                spots[spot.piece].append(spot.along)
    for target, places in wanted.items():
        if target in pieces:
            spots[target] += [closest(pieces[target].line, at).along for at in places]
    out = {}
    for target, piece in pieces.items():
        whole = length(piece.line)
        stuff = Stuff(section=piece.section, crown=piece.crown)
        out[target] = chain(label(target), piece.line, stuff, [min(max(s, 0.0), whole) for s in spots[target]])
    return out


def _mass(frame: Frame) -> float:
    at = {n.name: np.asarray(n.at) for n in frame.nodes}
    whole = sum(m.mass_kg for m in frame.masses)
    for m in frame.members:
        size = float(np.linalg.norm(at[m.end] - at[m.start]))
        if m.arc is not None:
            size *= m.arc.angle_rad / (2 * np.sin(m.arc.angle_rad / 2))
        whole += m.section.area * m.material.density_kg_mm3 * size
    return float(whole)


class _Build:
    """A frame while it is put together."""

    def __init__(self, scene: Scene, pieces: Mapping[Target, Piece], chains: Mapping[Target, Chain]) -> None:
        self.scene = scene
        self.pieces = pieces
        self.chains = chains
        self.nodes: list[Node] = []
        self.springs: list[Spring] = []
        self.contacts: list[Contact] = []
        self.bodies: dict[Target, str] = {}
        self.owner: dict[str, Target] = {}
        self.members = [self._placed(target, m) for target, c in chains.items() for m in c.members]
        self.cluster: dict[str, str] = {}
        self.joined: list[Joined] = []

    def _placed(self, target: Target, member: Member) -> Member:
        """A member with its section about its centroid: an angle is drawn along its heel."""
        self.owner[member.name] = target
        u, v = centroid(self.pieces[target].section)
        if abs(u) + abs(v) < SAME or member.crown is None:
            return member
        at = {n.name: np.asarray(n.at) for n in self.chains[target].nodes}
        t = at[member.end] - at[member.start]
        side = cross(t / np.linalg.norm(t), np.asarray(member.crown))
        hand = -1.0 if self._mirrored(target) else 1.0
        shift = vec3(np.asarray(member.crown) * v + side * (u * hand))
        section = replace(member.section, product=member.section.product * hand)
        return replace(member, start_offset=shift, end_offset=shift, section=section)

    def _mirrored(self, target: Target) -> bool:
        return float(np.linalg.det(self.scene.transforms[(target.part, target.copy)][:3, :3])) < 0

    # -------------------------------------------------------------------------------------------- nodes
    def body(self, target: Target, at: Vec3) -> None:
        """A plate or a wheel: one node."""
        self.bodies[target] = label(target)
        self.nodes.append(Node(name=label(target), at=at))

    def named(self, spot: Spot) -> str:
        """Name of the node at a spot."""
        found = self.chains.get(spot.piece)
        return found.node_at(spot.along) if found is not None else self.bodies[spot.piece]

    def _root(self, node: str) -> str:
        while self.cluster.get(node, node) != node:
            node = self.cluster[node]
        return node

    # -------------------------------------------------------------------------------------------- ties
    def tie(self, number: int, tie: Tie) -> None:
        """Join two places."""
        one, other = self.named(tie.one), self.named(tie.other)
        if tie.kind == "stiff":
            first, second = sorted((self._root(one), self._root(other)))
            self.cluster[second] = first
            self.cluster.setdefault(first, first)
            self.joined.append(Joined(tie, one, other))
            return
        name = f"{label(tie.one.piece)} on {label(tie.other.piece)} {number}"
        self.joined.append(Joined(tie, one, other, name))
        if tie.kind == "rests":
            self.contacts.append(
                Contact(name=name, first=other, second=one, direction=tie.axis, stiffness=REST, at=tie.at)
            )
            beside = (0.0, BESIDE, BESIDE, 0.0, 0.0, 0.0)
            self.springs.append(
                Spring(name=name, first=other, second=one, stiffness=beside, at=tie.at, axes=_axes(tie.axis))
            )
            return
        turning = STIFF_TURN if tie.kind == "turns" else 0.0
        hold = (STIFF, STIFF, STIFF, 0.0, turning, turning)
        if tie.kind == "ball":  # a bar in holes does not spin out of them: what holds it there carries nothing
            hold = (STIFF, STIFF, STIFF, SAME * STIFF_TURN, 0.0, 0.0)
        self.springs.append(Spring(name=name, first=other, second=one, stiffness=hold, at=tie.at, axes=_axes(tie.axis)))

    def links(self) -> tuple[Link, ...]:
        """Stiff links from one node of what is welded together to all others."""
        out = []
        for node in self.cluster:
            root = self._root(node)
            if root != node:
                out.append(Link(name=f"{root} - {node}", first=root, second=node))
        return tuple(out)

    # -------------------------------------------------------------------------------------------- masses
    def masses(self, parts: Sequence[JobPart], inside: set[str]) -> tuple[list[Mass], tuple[str, ...]]:
        """Plates and bought parts as masses on what carries them; parts without a mass by name."""
        out: list[Mass] = []
        missing = []
        for part in parts:
            if part.id not in inside or part.kind in ("tube", "bar"):
                continue
            if part.mass_kg is None:
                missing.append(part.id)
                continue
            for copy in self.scene.copies[part.id]:
                target = Target(part=part.id, copy=copy)
                m = self.scene.transforms[(part.id, copy)]
                at = None if part.centre_of_mass is None else vec3(moved(m, np.asarray(part.centre_of_mass)[None])[0])
                body = self.bodies.get(target)
                nodes = [body] if body else self._carriers(target, at)
                if not nodes:
                    missing.append(part.id)
                out += [Mass(node=node, mass_kg=part.mass_kg / len(nodes), at=at) for node in nodes]
        return out, tuple(dict.fromkeys(missing))

    def _carriers(self, target: Target, at: Vec3 | None) -> list[str]:
        """The nodes nearest to a part on what it is on: several where it lies in the middle between them.

        What does not say what it is on, as a strap, hangs on its own assembly.
        """
        design, seen = self.scene.product.design, [target.part]
        for part_id in seen:
            seen += [t.part for t in design.part(part_id).on if t.part not in seen]
        if len(seen) == 1:
            seen = [part.id for part in design.parts if part.assembly == design.part(target.part).assembly]
        nodes = [n for t, c in self.chains.items() if t.part in seen for n in c.nodes]
        nodes += [n for n in self.nodes if any(t.part in seen and b == n.name for t, b in self.bodies.items())]
        if not nodes or at is None:
            return [n.name for n in nodes[:1]]
        away = np.linalg.norm(np.array([n.at for n in nodes]) - np.asarray(at), axis=1)
        return [nodes[k].name for k in np.flatnonzero(away < away.min() + ALIKE)]

    # -------------------------------------------------------------------------------------------- what is where
    def places(self) -> dict[Target, tuple[tuple[str, float], ...]]:
        """Nodes along every run."""
        return {
            target: tuple((n.name, s) for n, s in zip(c.nodes, c.along, strict=True))
            for target, c in self.chains.items()
        } | {target: ((name, 0.0),) for target, name in self.bodies.items()}

    def beds(self) -> dict[Target, tuple[Bed, ...]]:
        """Straight members of every run."""
        out = {}
        for target, c in self.chains.items():
            at = {n.name: n.at for n in c.nodes}
            out[target] = tuple(Bed(m.name, at[m.start], at[m.end]) for m in c.members if m.arc is None)
        return out


def _axes(axis: Vec3) -> tuple[Vec3, Vec3, Vec3]:
    """Three square axes, the given one first."""
    t = np.asarray(axis, float) / np.linalg.norm(axis)
    helper = np.eye(3)[int(np.argmin(np.abs(t)))]
    v = cross(t, helper)
    v = v / np.linalg.norm(v)
    return vec3(t), vec3(v), vec3(cross(t, v))
