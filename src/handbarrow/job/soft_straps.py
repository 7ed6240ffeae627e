"""Webbing, cord and elastic: cut lengths from what they hang, their ends and knots; what is sewn on them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from handbarrow.design.soft_shapes import Hung, Panel, Strap, StrapEnd
from handbarrow.design.values import Part, Product
from handbarrow.findings import Finding, Severity
from handbarrow.job.soft_panels import sewn
from handbarrow.job.soft_values import Seam, StrapPiece, StrapWork
from handbarrow.language import said
from handbarrow.laws.materials.soft import Soft
from handbarrow.laws.sewing.stitching import boxed_cross
from handbarrow.laws.sewing.webbing import WebbingEnd, cord_cut, knot_guess, lacing_length, webbing_cut
from handbarrow.workshop.values import Workshop

__all__ = ["lacing_way", "strap_work"]


def strap_work(part: Part, strap: Strap, product: Product, workshop: Workshop) -> tuple[StrapWork, list[Finding]]:
    """Return everything about a strap, and what is wrong with it."""
    soft = product.design.stock[strap.stock].soft
    if soft is None:
        raise ValueError(f"{part.id} is not of webbing, cord or elastic")
    knots = strap.start.knots + strap.end.knots
    tried = workshop.sewing.knots.get(soft.label)
    knot = 0.0 if not knots else knot_guess(soft.thickness) if tried is None else tried
    findings = [_untried(part, soft)] if knots and tried is None else []
    more = knots * knot + strap.start.tail + strap.end.tail
    hangs = _hangs(part, product)
    if strap.length is not None:
        cut = _cut(strap.length, (strap.start, strap.end), soft, product) + more
        pieces = [StrapPiece(cut=cut, finished=strap.length, gauge=None, count=strap.count)]
    else:
        pieces = _alike(_hung_pieces(strap, hangs, soft, (more, product)))
        findings += [] if pieces else [_no_length(part)]
    if hangs and strap.length is not None:
        findings.append(_length_twice(part))
    count = sum(piece.count for piece in pieces)
    seams = tuple(_sewn_ends(strap, soft, count, hung=bool(hangs)))
    thread, minutes = sewn(seams, workshop)
    around = tuple(end.around for end in (strap.start, strap.end) if end.around)
    work = StrapWork(
        pieces=tuple(pieces), length=sum(piece.cut * piece.count for piece in pieces), knots=knots, knot=knot,
        knot_guessed=bool(knots) and tried is None, seams=seams, thread=thread, minutes=minutes, around=around,
    )  # fmt: skip
    return work, findings


def _hangs(part: Part, product: Product) -> list[tuple[Hung, int]]:
    """The edges that hang by a strap, and how many copies of their panel there are for each copy of the strap."""
    out = []
    for other in product.design.parts:
        if isinstance(other.shape, Panel):
            each = max(1, round(len(other.copies) / max(len(part.copies), 1)))
            out += [(hung, each) for hung in other.shape.hung if hung.by == part.id]
    return out


def _hung_pieces(
    strap: Strap, hangs: Sequence[tuple[Hung, int]], soft: Soft, more_of: tuple[float, Product]
) -> Iterator[StrapPiece]:
    """One length for each gauge; where an edge is laced, one for the edge."""
    more, product = more_of
    for hung, each in hangs:
        if hung.laced:
            way = lacing_length(lacing_way(hung))
            cut = cord_cut(way, tails=more, stretch=hung.stretched)
            yield StrapPiece(cut=cut, finished=way, gauge=None, count=each, edge=hung.edge)
            continue
        for gap, count in Counter(hung.gaps).items():
            slack = gap / (1 + hung.stretched)
            on_cloth = StrapEnd(kind="cut")
            cut = _cut(slack, (on_cloth, strap.end), soft, product) + hung.sewn + strap.start.turned_under + more
            yield StrapPiece(cut=cut, finished=slack + hung.sewn, gauge=gap, count=count * each, edge=hung.edge)


def _alike(pieces: Iterable[StrapPiece]) -> list[StrapPiece]:
    """Lengths that are alike as one line."""
    out: dict[tuple[float, float | None], StrapPiece] = {}
    for piece in pieces:
        key = (round(piece.cut, 6), piece.gauge)
        before = out.get(key)
        if before is None:
            out[key] = piece
        else:
            edge = before.edge if piece.edge in before.edge.split(", ") else f"{before.edge}, {piece.edge}"
            out[key] = replace(before, count=before.count + piece.count, edge=edge)
    return list(out.values())


def lacing_way(hung: Hung) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Return the way of a lacing: through every place of the edge, in between round what it is tied to, (n, 2) [mm]."""
    places = np.asarray(hung.places, dtype=float)
    gaps = hung.gaps
    out = [(places[0], 0.0)]
    for i in range(1, len(places)):
        out += [((places[i - 1] + places[i]) / 2, (gaps[i - 1] + gaps[i]) / 2), (places[i], 0.0)]
    return np.array(out)


def _cut(finished: float, ends: tuple[StrapEnd, StrapEnd], soft: Soft, product: Product) -> float:
    one, other = (_end(end, soft, product) for end in ends)
    return webbing_cut(finished, one, other)


def _end(end: StrapEnd, soft: Soft, product: Product) -> WebbingEnd:
    member = product.members.get(end.around)
    if end.kind == "loop" and member is not None:
        return WebbingEnd(
            kind="loop", overlap=end.sewn, turn_under=end.turned_under, around=member.section, webbing=soft.thickness
        )
    if end.sewn or end.turned_under:
        return WebbingEnd(kind="folded", overlap=end.sewn, turn_under=end.turned_under)
    return WebbingEnd()


def _sewn_ends(strap: Strap, soft: Soft, count: int, *, hung: bool) -> Iterator[Seam]:
    """Box and cross at each sewn end; the end on a panel is sewn with the panel."""
    for name, end in (("start", strap.start), ("end", strap.end)):
        if end.sewn > 0 and not (hung and name == "start") and strap.rows:
            yield Seam(kind="strap", on="", length=boxed_cross(end.sewn, soft.width), rows=strap.rows, count=count)


# ------------------------------------------------------------------------------------------------ findings
def _untried(part: Part, soft: Soft) -> Finding:
    return Finding(
        code="knot-not-tried",
        where=f"{part.path}",
        wrong=said("nobody has measured what a knot in {stock} takes; {guess:.0f} mm is a guess", stock=soft.label,
                   guess=knot_guess(soft.thickness)),
        expected=said("a trial: a strip measured before and after some knots were tied in it"),
        fix=said("add it under `sewing`, `knots`, in the workshop file"),
        severity=Severity.NOTE,
    )  # fmt: skip


def _no_length(part: Part) -> Finding:
    return Finding(
        code="strap-without-length",
        where=f"{part.path}.strap",
        wrong=said("no panel hangs by {part}, so that it has no length", part=part.id),
        expected=said("a length, or a panel with `hung: [{{by: {part}, ...}}]`", part=part.id),
        fix=said("write its length, or name it where the panel hangs"),
    )


def _length_twice(part: Part) -> Finding:
    return Finding(
        code="strap-length-twice",
        where=f"{part.path}.strap",
        wrong=said("{part} has a length of its own, and a panel hangs by it", part=part.id),
        expected=said("`strap: as hung` where a panel hangs by it"),
        fix=said("write `strap: as hung`; its lengths follow from the panel"),
    )
