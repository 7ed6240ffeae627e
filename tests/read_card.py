"""Read a bend card from the words of its sheet and build the tube again: nothing of the program is used here.

What a helper has is what this has: marks, lengths used, radii, angles, where the crown line stands, which end is held,
the cut length. The rules stand on the card too: bends start so far past the mark, marks count from the start's longest
point, the crown line is seen along the tube from the held end, the free end swings left.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

__all__ = ["Card", "Check", "Row", "read_card", "rotation"]

Floats = NDArray[np.float64]
NUM = r"(-?[\d.]+)"
TURN = r"(up|–|\S+°(?: (?:clockwise|anticlockwise))?)"
TAPE = r"(?: [\d /]+?)?"
ROW = re.compile(
    rf"(?<![\d.])(\d+) (\d+) (start|far end) {NUM}{TAPE} (?:{NUM}{TAPE},? (tube end|bent leg)|– to the mark) "
    rf"(\D\S*(?: \S+)??) uses {NUM} {TURN} {TURN} {NUM}° {NUM}° (?:R|radius) {NUM}"
)
SLIP = math.radians(0.05)
"""Half of what angles are rounded to [rad]."""
CHECK = re.compile(rf"^([A-Z]\d*) (.+?) (flat|{NUM}°?) (?:{NUM}°? )?{NUM}°?$")


@dataclass(frozen=True, kw_only=True)
class Row:
    """One line of the table of bends; lengths as printed, angles in rad, turns clockwise along the feed."""

    order: int
    number: int
    feed: str
    mark: float
    stop: float | None
    touches: str
    die: str
    uses: float
    turn: float
    crown: float
    set_angle: float
    angle: float
    radius: float


@dataclass(frozen=True, kw_only=True)
class Check:
    """A check size of the card."""

    letter: str
    title: str
    wanted: float
    least: float
    most: float


@dataclass(frozen=True, kw_only=True)
class Card:
    """A bend card as read, lengths in the printed unit.

    Attributes:
        unit: 25.4 where it is printed in inches, else 1.
        step: What lengths are rounded to.
        section: Outside size across the bends.
    """

    unit: float
    step: float
    section: float
    cut_length: float
    corners: tuple[float, ...]
    starts: dict[str, float]
    laws: dict[str, tuple[float, float]]
    rows: tuple[Row, ...]
    checks: tuple[Check, ...] = field(default=())

    @property
    def bends(self) -> list[Row]:
        """Rows along the tube."""
        return sorted(self.rows, key=lambda row: row.number)

    @property
    def spans(self) -> list[tuple[float, float]]:
        """Where each bend lies on the straight tube."""
        out = []
        for row in self.bends:
            past = self.starts[row.die]
            low = row.mark + past if row.feed == "start" else row.mark - past - row.uses
            out.append((low, low + row.uses))
        return out

    @property
    def legs(self) -> list[float]:
        """From the start's longest point to the first corner, from corner to corner, to the end's longest point."""
        backs = [row.radius * math.tan(row.angle / 2) for row in self.bends]
        edges = [0.0, *(edge for span in self.spans for edge in span), self.cut_length]
        straights = [edges[k + 1] - edges[k] for k in range(0, len(edges), 2)]
        return [
            straight + before + after
            for straight, before, after in zip(straights, [0.0, *backs], [*backs, 0.0], strict=True)
        ]

    def directions(self) -> tuple[Floats, Floats]:
        """Direction of each leg (n + 1, 3), normal of each bend (n, 3); first leg along x, crown line there along z."""
        way, crown = np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0])
        ways, normals = [way], []
        for row in self.bends:
            feed = way if row.feed == "start" else -way
            up = rotation(feed, -row.crown) @ crown
            normal = up if row.feed == "start" else -up
            bent = rotation(normal, row.angle)
            way, crown = bent @ way, bent @ crown
            ways.append(way)
            normals.append(normal)
        return np.array(ways), np.array(normals)

    def points(self) -> Floats:
        """(n + 2, 3) start, corners, end of the centreline."""
        ways, _ = self.directions()
        return np.vstack([np.zeros(3), np.cumsum(np.array(self.legs)[:, None] * ways, axis=0)])

    @property
    def is_flat(self) -> bool:
        """Whether the crown line stands up or down in every bend, as in a part that lies in one plane."""
        return all(abs(math.sin(row.crown)) < 1e-9 for row in self.rows)

    def leg_doubt(self) -> list[float]:
        """How far each leg can be out because of rounding alone.

        A length is out by half a step at most, an angle by half of 0.1 degree. A leg has at most four lengths in it
        (its two ends, what is used, what is past the mark) and two set-backs R tan(A/2).
        """
        half = self.step / 2
        backs = [
            half * math.tan(row.angle / 2) + (row.radius + half) * SLIP / 2 / math.cos((row.angle + SLIP) / 2) ** 2
            for row in self.bends
        ]
        return [4 * half + before + after for before, after in zip([0.0, *backs], [*backs, 0.0], strict=True)]

    def doubt(self) -> list[float]:
        """How far each point can be out because of rounding alone: in a flat part, in its plane.

        Legs as in `leg_doubt`; a leg points as far off as the bends before it: by their own angle, and, unless the part
        is flat, by the place of the crown line before and after each.
        """
        out, far, off = [0.0], 0.0, 0.0
        for leg, slack in zip(self.legs, self.leg_doubt(), strict=True):
            far += slack + leg * off
            out.append(far)
            off += SLIP if self.is_flat else 3 * SLIP
        return out


def rotation(axis: Floats, angle_rad: float) -> Floats:
    """Turn about a unit axis, right-handed (Rodrigues)."""
    x, y, z = axis
    k = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.eye(3) + math.sin(angle_rad) * k + (1 - math.cos(angle_rad)) * k @ k


def _turn(text: str) -> float:
    if text in ("up", "–"):
        return 0.0
    size = math.radians(float(text.split("°")[0]))
    return -size if text.endswith("anticlockwise") else size


def _row(found: re.Match[str]) -> Row:
    order, number, feed, mark, stop, touches, die, uses, turn, crown, set_angle, angle, radius = found.groups()
    return Row(
        order=int(order), number=int(number), feed="end" if feed == "far end" else feed, mark=float(mark),
        stop=float(stop) if stop else None, touches=touches or "", die=die, uses=float(uses), turn=_turn(turn),
        crown=_turn(crown), set_angle=math.radians(float(set_angle)), angle=math.radians(float(angle)),
        radius=float(radius),
    )  # fmt: skip


def _one(pattern: str, text: str) -> str:
    found = re.search(pattern, text)
    assert found, f"the card does not say {pattern}"
    return found[1]


def read_card(sheets: list[str]) -> Card:
    """Return what a card says.

    Args:
        sheets: The words of its one or two sheets.
    """
    text = " ".join(" ".join(sheets).replace("\u200b", "").split())
    inches = "lengths in inches" in text
    rows = tuple(_row(found) for found in ROW.finditer(text))
    dies = {row.die for row in rows}
    past = dict(re.findall(rf"Bends of die (.+?) start {NUM} past the mark", text))
    if not past:
        past = dict.fromkeys(dies, _one(rf"Bends start {NUM} past the mark", text))
    laws = re.findall(rf"Die ((?:(?!Die ).)+?): finished = {NUM} × set - {NUM}°", text)
    checks = [
        Check(letter=m[1], title=m[2], wanted=float(m[4] or 0), least=float(m[5] or 0), most=float(m[6]))
        for sheet in sheets
        for line in _joined(sheet.partition("Check after bending")[2])
        if (m := CHECK.match(line))
    ]
    corners = re.search(r"Corners ([\d., ]+?) apart", text)
    return Card(
        unit=25.4 if inches else 1.0,
        step=0.01 if inches else 0.1,
        section=float(_one(r"From \D*?tube ([\d.]+)x", text)) / (25.4 if inches else 1.0),
        cut_length=float(_one(rf"Cut length {NUM} ", text)),
        corners=tuple(float(v) for v in corners[1].split(", ")) if corners else (),
        starts={die: float(v) for die, v in past.items()},
        laws={die: (float(a), math.radians(float(b))) for die, a, b in laws},
        rows=rows,
        checks=tuple(checks),
    )


def _joined(text: str) -> list[str]:
    """Lines of the table of check sizes, those that run over two joined."""
    out: list[str] = []
    for line in text.splitlines():
        if re.match(r"[A-Z]\d*( |$)", line) or not out:
            out.append(line.strip())
        else:
            out[-1] += f" {line.strip()}"
    return out
