"""Parts of cloth, webbing, cord and elastic: panels with their edges and what they hang on; straps with their ends."""

from __future__ import annotations

from typing import cast

from handbarrow.design.read_context import Context, refuse_kind
from handbarrow.design.read_motions import square_directions
from handbarrow.design.read_plates import own_x, read_outline
from handbarrow.design.read_targets import targets_of
from handbarrow.design.soft_shapes import RAW_EDGE, Hung, OnKind, OnPanel, Panel, PanelEdges, Side, Strap, StrapEnd
from handbarrow.language import said
from handbarrow.laws.geometry.path import Vec2
from handbarrow.laws.sewing.edges import ClothEdge, EdgeKind
from handbarrow.reading.limits import NOT_NEGATIVE, POSITIVE, Limits
from handbarrow.reading.spot import Fields, Spot

__all__ = ["PANEL_KEYS", "STRAP_KEYS", "read_panel", "read_strap"]

PANEL_KEYS = ("stock", "panel", "named end", "edges", "sewn on", "hung", "keep clear", "at", "along", "facing")
STRAP_KEYS = ("stock", "strap", "start", "end", "count", "sewn rows")
SIDES: tuple[Side, ...] = ("head", "foot", "left", "right")
HEMS = ("raw", "hem", "double hem", "seam")
SEWN_ON = ("pocket", "window", "eyelet", "patch", "row")
MOST_ON, MOST_PLACES = 60, 200
STRETCHED = Limits(0.0, 5.0)


def _check_role(context: Context, fields: Fields, *, cloth: bool) -> None:
    """A finding where the role of the part is not cloth, or is."""
    role = context.role(fields, "soft")
    if role is not None and role.soft is not None and (role.soft.kind == "cloth") != cloth:
        refuse_kind(fields.spot.at("stock"), role, said("cloth") if cloth else said("webbing, cord or elastic"))


# ------------------------------------------------------------------------------------------------ panels
def read_panel(context: Context, fields: Fields) -> Panel:
    """Return the panel."""
    _check_role(context, fields, cloth=True)
    facing, along = square_directions(fields, ("facing", (0.0, 0.0, 1.0)), ("along", None))
    size, outline, bows = _shape(fields.spot.at("panel"), context)
    edges = _edges(fields.get("edges"))
    on_it = fields.get("sewn on")
    hung = fields.get("hung")
    panel = Panel(
        stock=fields.text("stock"), size=size, outline=outline, bows=bows, edges=edges,
        named=fields.text("named end", "head"),
        on_it=() if on_it is None else _all_on(on_it, size),
        hung=() if hung is None else tuple(_hung(one, size, context) for one in hung.items(said("edges"), 0, 12)),
        keep_clear=fields.number("keep clear", "length", 0.0, NOT_NEGATIVE), at=fields.vector("at"),
        along=along if "along" in fields else own_x(facing, along), facing=facing,
    )  # fmt: skip
    if hung is not None and size is None:
        hung.refuse(
            code="cloth-cannot-hang",
            wrong=said("only a rectangle of cloth can be slung"),
            expected=said("`panel: {length, width}` with `hung`"),
            fix=said("give length and width, or take `hung` out"),
        )
    return panel


def _shape(spot: Spot, context: Context) -> tuple[Vec2 | None, tuple[Vec2, ...], tuple[str, ...]]:
    fields = spot.fields(("length", "width", "outline", "bows"))
    outline, bows = fields.get("outline"), fields.get("bows")
    ways = (("length" in fields or "width" in fields), outline is not None, bows is not None)
    if sum(ways) != 1 and spot.is_map:
        spot.refuse(
            code="panel-unclear",
            wrong=said("the panel is given in more than one way") if any(ways) else said("the panel has no size"),
            expected=said("`length` and `width`, or `outline`, or `bows`"),
            fix=said("keep one of them"),
        )
        return (1.0, 1.0), (), ()
    if outline is not None:
        return None, read_outline(outline), ()
    if bows is not None:
        return None, (), tuple(t.part for t in context.targets(targets_of(bows, 2)))
    if spot.is_map:
        spot.fields(("length", "width"), ("length", "width"))
    length, width = (fields.number(key, "length", 1.0, POSITIVE) for key in ("length", "width"))
    return (length, width), (), ()


def _edges(spot: Spot | None) -> PanelEdges:
    if spot is None:
        return PanelEdges()
    fields = spot.fields(("all", *SIDES, "rows"))
    all_ = fields.get("all")
    usual = RAW_EDGE if all_ is None else _edge(all_)
    found = {side: usual if (one := fields.get(side)) is None else _edge(one) for side in SIDES}
    return PanelEdges(**found, rows=fields.whole("rows", 1, 1, 6))


def _edge(spot: Spot) -> ClothEdge:
    """As `raw`, `{hem: 50}`, `{double hem: 25, turned under: 12}`, `{seam: 15}`."""
    if not spot.is_map:
        spot.choice(("raw",))
        return RAW_EDGE
    fields = spot.fields((*HEMS[1:], "turned under"))
    given = [kind for kind in HEMS[1:] if kind in fields]
    if len(given) != 1 or ("turned under" in fields and given != ["double hem"]):
        spot.refuse(
            code="edge-unclear",
            wrong=said("the edge is finished in more than one way, or in none"),
            expected=said("`raw`, `{hem: 50}`, `{double hem: 25, turned under: 12}` or `{seam: 15}`"),
            fix=said("keep one of them"),
        )
        return RAW_EDGE
    width = fields.number(given[0], "length", 1.0, POSITIVE)
    under = None
    if "turned under" in fields:
        under = fields.number("turned under", "length", width, Limits(0.0, width, above=True))
    return ClothEdge(kind=cast("EdgeKind", given[0]), width=width, turn_under=under)


def _all_on(spot: Spot, size: Vec2 | None) -> tuple[OnPanel, ...]:
    return tuple(_on(one, size) for one in spot.items(said("what is sewn on"), 0, MOST_ON))


def _on(spot: Spot, size: Vec2 | None) -> OnPanel:
    """As `{pocket: [200, 150], at: [40, 60]}`; an eyelet has its diameter, a row its length along and across."""
    fields = spot.fields((*SEWN_ON, "at", "rows", "note"), ("at",))
    given = [kind for kind in SEWN_ON if kind in fields]
    at = fields.get("at")
    place = (0.0, 0.0) if at is None else at.vector2()
    if len(given) != 1:
        spot.refuse(
            code="sewn-on-unclear",
            wrong=said("it is not clear what is sewn on here"),
            expected=said("`pocket`, `window`, `eyelet`, `patch` or `row`, with its size"),
            fix=said("write one of them with its size"),
        )
        return OnPanel(kind="patch", at=place, size=(1.0, 1.0))
    value = fields.spot.at(given[0])
    wide = value.number("length", POSITIVE) if given[0] == "eyelet" else 0.0
    extent = (wide, wide) if wide else value.vector2()
    if size is not None:
        low = (place[0] - wide / 2, place[1] - wide / 2)
        high = (place[0] + extent[0] - wide / 2, place[1] + extent[1] - wide / 2)
        if min(low) < -1e-6 or min(extent) < 0 or high[0] > size[0] + 1e-6 or high[1] > size[1] + 1e-6:
            spot.refuse(
                code="off-the-cloth",
                wrong=said("it reaches from {low} to {high}", low=_pair(low), high=_pair(high)),
                expected=said("within the finished panel, {size}", size=_pair(size)),
                fix=said("change its place or its size"),
            )
    return OnPanel(
        kind=cast("OnKind", given[0]), at=place, size=extent, rows=fields.whole("rows", 1, 0, 12),
        note=fields.text("note"),
    )  # fmt: skip


def _pair(value: Vec2) -> str:
    return f"{value[0]:g} × {value[1]:g} mm"


def _hung(spot: Spot, size: Vec2 | None, context: Context) -> Hung:
    keys = ("edge", "by", "places", "gap", "sewn", "laced", "stretched")
    fields = spot.fields(keys, ("edge", "by", "places", "gap"))
    by = fields.get("by")
    named = () if by is None else context.targets(targets_of(by, 1))
    edge = cast("Side", fields.choice("edge", SIDES, "left"))
    spots = [] if (told := fields.get("places")) is None else told.items(said("places in mm"), 1, MOST_PLACES)
    places = tuple(one.number("length", NOT_NEGATIVE) for one in spots)
    most = None if size is None else size[0] if edge in ("left", "right") else size[1]
    for i, one in enumerate(spots):
        if (most is not None and places[i] > most) or (i and places[i] <= places[i - 1]):
            one.refuse(
                code="off-the-cloth",
                wrong=said("a place {place:g} mm along the edge", place=places[i]),
                expected=said("places one after the other, from 0 to {most:g} mm", most=most or 0.0),
                fix=said("sort the places, and keep them on the edge"),
            )
            break
    return Hung(
        by=named[0].part if named else "", edge=edge, places=places or (0.0,),
        gaps=_gaps(fields.get("gap"), len(places) or 1), sewn=fields.number("sewn", "length", 0.0, NOT_NEGATIVE),
        laced=fields.yes_no("laced"), stretched=fields.number("stretched", "number", 0.0, STRETCHED),
    )  # fmt: skip


def _gaps(spot: Spot | None, count: int) -> tuple[float, ...]:
    """One for all places; two, for the first half of them and for the rest; or one for each."""
    if spot is None or not spot.is_list:
        return (1.0 if spot is None else spot.number("length", POSITIVE),) * count
    found = [one.number("length", POSITIVE) for one in spot.items(said("gaps in mm"), 1, MOST_PLACES)]
    if len(found) == 2:
        return tuple(found[0 if 2 * i < count else 1] for i in range(count))
    if len(found) not in (0, count):
        spot.refuse(
            code="gaps-and-places-differ",
            wrong=said("{gaps} gaps for {places} places", gaps=len(found), places=count),
            expected=said("one gap, two (first half and second half), or one for each place"),
            fix=said("write one gap for each place"),
        )
    return tuple(found) if len(found) == count else (1.0,) * count


# ------------------------------------------------------------------------------------------------ straps
def read_strap(context: Context, fields: Fields) -> Strap:
    """Return the strap: `strap: 900`, or `strap: as hung` where a panel hangs by it."""
    _check_role(context, fields, cloth=False)
    spot = fields.spot.at("strap")
    hung = spot.node.kind == "text" and spot.node.text.strip() == "as hung"
    return Strap(
        stock=fields.text("stock"), length=None if hung else spot.number("length", POSITIVE),
        start=_end(fields.get("start"), context), end=_end(fields.get("end"), context),
        count=fields.whole("count", 1, 1, 500), rows=fields.whole("sewn rows", 2, 0, 12),
    )  # fmt: skip


def _end(spot: Spot | None, context: Context) -> StrapEnd:
    """As `{folded: 40, turned under: 12}`, `{loop round: cot-hoop, sewn: 60}`, `{knots: 2, tail: 30}`."""
    if spot is None:
        return StrapEnd()
    fields = spot.fields(("folded", "loop round", "sewn", "turned under", "knots", "tail"))
    loop = fields.get("loop round")
    target = () if loop is None else context.targets(targets_of(loop, 1))
    if (loop is None) == ("sewn" in fields) or ("folded" in fields and loop is not None):
        spot.refuse(
            code="strap-end-unclear",
            wrong=said("`loop round` and `sewn` go together, and not with `folded`"),
            expected=said("`{folded: 40}`, `{loop round: cot-hoop, sewn: 60}` or `{knots: 2, tail: 30}`"),
            fix=said("keep one of them"),
        )
        return StrapEnd()
    sewn = fields.number("sewn" if loop is not None else "folded", "length", 0.0, NOT_NEGATIVE)
    return StrapEnd(
        kind="loop" if loop is not None else "folded" if "folded" in fields else "cut", sewn=sewn,
        turned_under=fields.number("turned under", "length", 0.0, NOT_NEGATIVE),
        around=target[0].part if target else "", knots=fields.whole("knots", 0, 0, 40),
        tail=fields.number("tail", "length", 0.0, NOT_NEGATIVE),
    )  # fmt: skip
