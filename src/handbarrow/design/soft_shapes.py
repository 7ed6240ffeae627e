"""Parts of cloth, webbing, cord and elastic as frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handbarrow.laws.geometry.path import Vec2, Vec3
from handbarrow.laws.sewing.edges import ClothEdge

__all__ = ["RAW_EDGE", "Hung", "OnKind", "OnPanel", "Panel", "PanelEdges", "Side", "Strap", "StrapEnd", "tied"]

RAW_EDGE = ClothEdge()
Side = Literal["head", "foot", "left", "right"]
OnKind = Literal["pocket", "window", "eyelet", "patch", "row"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelEdges:
    """How the edges of a panel are finished, and how many rows of stitches hold each."""

    head: ClothEdge = RAW_EDGE
    foot: ClothEdge = RAW_EDGE
    left: ClothEdge = RAW_EDGE
    right: ClothEdge = RAW_EDGE
    rows: int = 1

    def of(self, side: Side) -> ClothEdge:
        """Return one edge."""
        return {"head": self.head, "foot": self.foot, "left": self.left, "right": self.right}[side]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hung:
    """What one edge of a panel hangs on.

    Attributes:
        by: The part of webbing, cord or elastic.
        edge: Which edge.
        places: Along the edge: of the long edges from the named end, of the ends from the left [mm].
        gaps: From the finished edge to the axis of what it is tied to, for each place [mm].
        sewn: How much of each webbing is sewn on the cloth [mm]; 0: it goes through a hole.
        laced: Whether one length runs from place to place and back over what it is tied to.
        stretched: How much longer it is than slack when nothing lies on the bed [-].
    """

    by: str
    edge: Side
    places: tuple[float, ...]
    gaps: tuple[float, ...]
    sewn: float = 0.0
    laced: bool = False
    stretched: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class OnPanel:
    """Something on a panel: a pocket, a window, an eyelet, a patch, a row of stitches.

    Attributes:
        kind: Which.
        at: Of its corner nearest to the named end and the left edge; of an eyelet its centre: from the named end, from
            the left edge [mm].
        size: Along and across [mm]; of an eyelet its diameter twice.
        rows: Rows of stitches round it (through it, of a row).
        note: What to say of it.
    """

    kind: OnKind
    at: Vec2
    size: Vec2
    rows: int = 1
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A panel of cloth: a rectangle, an outline, or a strip between two bows.

    Exactly one of `size`, `outline` and `bows` is given.

    Attributes:
        stock: Role.
        size: Finished length (from the named end) and width [mm].
        outline: Finished outline, x from the named end, y from the middle to the left, counter-clockwise.
        bows: The two runs that the cloth is stretched over.
        edges: How they are finished; of an outline and of a strip between bows `head` counts for all that is not said.
        named: What is written on the cloth at the end that all numbers count from.
        on_it: Pockets, windows, eyelets, patches, rows.
        hung: What its edges hang on; empty: it is no slung bed.
        keep_clear: How far it must stay from what is under it [mm].
        at: Middle of the edge at the named end (of an outline its zero), design axes.
        along: From the named end to the other.
        facing: The side that is up.
    """

    stock: str
    size: Vec2 | None = None
    outline: tuple[Vec2, ...] = ()
    bows: tuple[str, ...] = ()
    edges: PanelEdges = PanelEdges()
    named: str = "head"
    on_it: tuple[OnPanel, ...] = ()
    hung: tuple[Hung, ...] = ()
    keep_clear: float = 0.0
    at: Vec3 = (0.0, 0.0, 0.0)
    along: Vec3 = (1.0, 0.0, 0.0)
    facing: Vec3 = (0.0, 0.0, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class StrapEnd:
    """An end of a strap. `around`: the run whose tube a loop goes round; `sewn`: fold, or what is sewn behind a loop.

    `knots`: how many are tied in this end, `tail`: what hangs free behind them [mm].
    """

    kind: Literal["cut", "folded", "loop"] = "cut"
    sewn: float = 0.0
    turned_under: float = 0.0
    around: str = ""
    knots: int = 0
    tail: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Strap:
    """A length of webbing, cord or elastic.

    Attributes:
        stock: Role.
        length: Finished, between its ends or from the axis of the tube in a loop [mm]; None: it follows from the panel
            that hangs by it.
        start: The end at its start: the one on the cloth, where a panel hangs by it.
        end: The end at its end.
        count: How many of them one copy stands for; those that a panel hangs by are counted there.
        rows: How often box and cross are sewn at each sewn end.
    """

    stock: str
    length: float | None = None
    start: StrapEnd = StrapEnd()
    end: StrapEnd = StrapEnd()
    count: int = 1
    rows: int = 2


def tied(shape: object) -> set[str]:
    """Return the parts that a panel or a strap is tied to: by what and to what it hangs, what it is stretched over."""
    if isinstance(shape, Panel):
        return {*(hung.by for hung in shape.hung), *shape.bows}
    if isinstance(shape, Strap):
        return {end.around for end in (shape.start, shape.end) if end.around}
    return set()
