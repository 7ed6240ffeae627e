"""One frame, many choices of sections: what does not depend on the choice is worked out once.

Nodes, links, springs, contacts and cases stay; a section only changes how a member gives and what it weighs. Stiffness
and held ends of every member are worked out for every section once; a choice then picks from them and is solved.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handbarrow.laws.frame.factor import factored
from handbarrow.laws.frame.member_loads import along_members, held_ends, per_member
from handbarrow.laws.frame.model import Model, assembled, field_forces, model
from handbarrow.laws.frame.solve import DOUBTFUL_PIVOT, Answer, answered
from handbarrow.laws.frame.values import BeamSection, Frame, LoadCase

__all__ = ["Choices", "Chosen", "choices", "solve_chosen"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """A frame and its cases with every section that a member may have.

    Attributes:
        ready: The frame as arrays; its own sections do not count.
        cases: The load cases (c).
        sections: The sections (p).
        own: (p, m, 12, 12) own stiffness of each member with each section.
        stiff: (p, m, 12, 12) the same between nodes.
        held: (p, c, m, 12) own forces on the ends of members whose nodes do not move [N, N mm].
        on_nodes: (c, n + 1, 6) loads on nodes [N, N mm].
        mass_kg: (p, m) of each member with each section [kg].
    """

    ready: Model
    cases: tuple[LoadCase, ...]
    sections: tuple[BeamSection, ...]
    own: Floats
    stiff: Floats
    held: Floats
    on_nodes: Floats
    mass_kg: Floats


class Chosen(NamedTuple):
    """What came out for one choice; `answer` is None where the frame is loose.

    Attributes:
        answer: Displacements of nodes (c, n + 1, 6) [mm, rad], end forces (c, m, 12) [N, N mm], contacts, of the cases
            that hold.
        kept: (c,) which those are.
        mass_kg: Of all members [kg].
    """

    answer: Answer | None
    kept: NDArray[np.bool_]
    mass_kg: float


def choices(frame: Frame, cases: Sequence[LoadCase], sections: Sequence[BeamSection]) -> Choices:
    """Return a frame ready to be solved with any choice of sections.

    Args:
        frame: Nodes, members (m), links, springs, contacts, masses; where members run stays as it is.
        cases: The load cases.
        sections: What members may be made of (p).

    Returns:
        Stiffness [N/mm, N, N mm] and held ends of every member with every section.

    Source: direct stiffness method; see `beams`.
    """
    own, stiff, held, mass = [], [], [], []
    for section in sections:
        ready = model(replace(frame, members=tuple(replace(m, section=section) for m in frame.members)))
        loads = along_members(ready.frame, ready.beams.runs, cases)
        own.append(ready.beams.stiff)
        stiff.append(ready.stiff)
        held.append(per_member(loads, held_ends(ready.beams, loads), len(frame.members)))
        mass.append(ready.beams.runs.mass * ready.beams.runs.length)
    base = model(frame)
    return Choices(
        ready=base, cases=tuple(cases), sections=tuple(sections), own=np.array(own), stiff=np.array(stiff),
        held=np.array(held), on_nodes=field_forces(base, cases), mass_kg=np.array(mass),
    )  # fmt: skip


def solve_chosen(ready: Choices, chosen: Ints) -> Iterator[Chosen]:
    """Solve choice after choice, each with all cases.

    Args:
        ready: What `choices` gives.
        chosen: (v, m) number of the section of each member.

    Returns:
        For each of the v choices displacements [mm, rad] and end forces [N, N mm].

    Source: direct stiffness method.

    Raises:
        ValueError: If a number names no section, or a row is not as long as there are members.
    """
    numbers = np.asarray(chosen, np.int64)
    count = len(ready.ready.frame.members)
    if numbers.ndim != 2 or numbers.shape[1] != count:
        raise ValueError(f"each choice wants one section for each of {count} members")
    if numbers.size and not (numbers.min() >= 0 and numbers.max() < len(ready.sections)):
        raise ValueError(f"sections are numbered 0 to {len(ready.sections) - 1}")
    every = np.arange(count)
    for row in numbers:
        beams = replace(ready.ready.beams, stiff=ready.own[row, every])
        one = replace(ready.ready, beams=beams, stiff=ready.stiff[row, every])
        factor = factored(assembled(one, one.stiff))
        mass = float(ready.mass_kg[row, every].sum())
        if factor is None or factor.smallest < DOUBTFUL_PIVOT:
            yield Chosen(None, np.zeros(len(ready.cases), bool), mass)
            continue
        held = np.moveaxis(ready.held[row, :, every], 0, 1)
        answer, kept, _ = answered(one, factor, ready.cases, held, ready.on_nodes)
        yield Chosen(answer, kept, mass)
