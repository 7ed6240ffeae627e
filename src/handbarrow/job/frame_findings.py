"""What a person must know of the checks of strength: what is not held, what nothing carries, what was not asked."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from handbarrow.design.values import Carried
from handbarrow.findings import Finding, Severity
from handbarrow.language import Said, listed, said
from handbarrow.laws.frame.mechanism import Motion
from handbarrow.laws.frame.solve import Solution

__all__ = ["held_outside", "load_not_carried", "not_held", "nothing_holds", "yield_unknown"]

MOST_NAMED = 4


def nothing_holds() -> Finding:
    """The design does not say how it is held."""
    return Finding(
        code="holds-not-given",
        where="carries",
        wrong=said("the design says what it carries, but not where it is towed, held, stood or lifted"),
        expected=said("`towed at` or `held at` beside the wheels, `stands on`, or `lifts`"),
        fix=said("add `towed at: drawbar end` or `held at: [handle corner 1, handle corner 2]`"),
        severity=Severity.WARNING,
    )


def load_not_carried(load: Carried, way: Said) -> Finding:
    """What a load lies on is not there, has no straight, or is one line only."""
    named = ", ".join(t.part if t.copy == 1 else f"{t.part} copy {t.copy}" for t in load.on)
    return Finding(
        code="load-not-carried",
        where=f"carries.{load.name}.on",
        wrong=said(
            "{load} cannot lie on {parts} ({way}); it was not checked there", load=load.name, parts=named, way=way
        ),
        expected=said("tubes or bars with straights on both sides of the load, among the parts that are held"),
        fix=said("name the tubes that carry it, also their copies: `on: [rail, rail copy 2]`"),
        severity=Severity.WARNING,
    )


def held_outside(lift: str, point: str, assembly: str) -> Finding:
    """Hands hold something that is not lifted."""
    return Finding(
        code="lift-held-outside",
        where=f"lifts.{lift}.at",
        wrong=said(
            "`{point}` does not belong to {assembly}, which is lifted; it was not checked",
            point=point,
            assembly=assembly,
        ),
        expected=said("points of {assembly} or of what it carries", assembly=assembly),
        fix=said("name points of {assembly}, or lift another assembly", assembly=assembly),
        severity=Severity.WARNING,
    )


def yield_unknown(stock: str, parts: Sequence[str]) -> Finding:
    """A part's steel has no yield strength that is known."""
    return Finding(
        code="yield-unknown",
        where=f"stock.{stock}",
        wrong=said("the yield strength of {stock} is not known: stress in {parts} is shown without a verdict",
                   stock=stock, parts=", ".join(parts)),
        expected=said("`steel:` with a grade that is known, as S235JRH, or `yield:` in MPa"),
        fix=said("write the grade from the supplier's certificate, or `yield: 235 MPa`"),
        severity=Severity.NOTE,
    )  # fmt: skip


def not_held(way: Said, titles: Iterable[Said], solution: Solution) -> Finding:
    """Something moves without force, or no balance was found."""
    cases = listed(list(dict.fromkeys(titles))[:MOST_NAMED])
    motions = [m for found in solution.loose.values() for way_of in found for m in way_of.motions[:1]]
    how: str = said("no balance of what touches was found")
    if motions:
        how = _motion(motions[0])
    return Finding(
        code="frame-not-held",
        where="carries",
        wrong=said("{way}: {how}; not checked: {cases}", way=way, how=how,
                   cases=", ".join(cases[:MOST_NAMED])),
        expected=said("a product that nothing can move without force while it is used"),
        fix=said("weld, bolt or support what moves; where it tips or lifts off, move the load or widen the stand"),
        severity=Severity.WARNING,
    )  # fmt: skip


def _motion(motion: Motion) -> Said:
    parts = [name.rpartition(" ")[0] for name in motion.members] or list(motion.nodes)
    named = listed(list(dict.fromkeys(parts))[:MOST_NAMED])
    x, y, z = motion.axis
    if motion.kind == "slides":
        return said("{parts} slides freely along [{x:.2g}, {y:.2g}, {z:.2g}]", parts=named, x=x, y=y, z=z)
    return said("{parts} turns freely about [{x:.2g}, {y:.2g}, {z:.2g}]", parts=named, x=x, y=y, z=z)
