"""How the shop pulls curves round formers, and what its trial pieces came back to."""

from __future__ import annotations

from handbarrow.language import said
from handbarrow.reading.book import quoted
from handbarrow.reading.limits import NOT_NEGATIVE, Limits
from handbarrow.reading.spot import Spot
from handbarrow.reading.stock import stock_of
from handbarrow.workshop.values import Formers, FormerTrial

__all__ = ["read_formers"]

HANDS = Limits(20.0, 5000.0)
STEPS = Limits(2.0, 500.0)


def read_formers(spot: Spot | None) -> Formers:
    """Return how curves are pulled; what is not said is as usual."""
    usual = Formers()
    if spot is None:
        return usual
    fields = spot.fields(("hand force", "held", "pieces in one length", "step in the vice", "trials"))
    trials = fields.get("trials")
    told = [] if trials is None else trials.items(said("trial pieces, each with `for`, `former` and `made`"), 0, 200)
    found = [_trial(one) for one in told]
    return Formers(
        hand_n=fields.number("hand force", "force", usual.hand_n, HANDS),
        held=fields.number("held", "length", usual.held, NOT_NEGATIVE),
        pieces=fields.whole("pieces in one length", usual.pieces, 1, 50),
        step=fields.number("step in the vice", "length", usual.step, STEPS),
        trials=tuple(trial for trial in found if trial is not None),
    )


def _trial(spot: Spot) -> FormerTrial | None:
    fields = spot.fields(("for", "former", "made"), ("for", "former", "made"))
    where = fields.get("for")
    text = "" if where is None else where.text(said("the tube or bar that was pulled, as `bar 8`"))
    stock = stock_of(where.refuse, text) if where is not None and text else None
    on_former = fields.number("former", "length", 1.0, Limits(0.0, above=True))
    made = fields.number("made", "length", 2.0, Limits(0.0, above=True))
    if where is None or stock is None:
        return None
    if stock.section is None:
        where.refuse(
            code="stock-of-wrong-kind",
            wrong=said("{text} cannot be pulled round a former", text=quoted(text)),
            expected=said("tube or bar"),
            fix=said("write what was pulled, as `bar 8`"),
        )
        return None
    if "made" in fields and made <= on_former:
        spot.refuse(
            code="trial-not-sprung",
            wrong=said(
                "the trial came back to a radius of {made:g} mm from a former of {former:g} mm",
                made=made,
                former=on_former,
            ),
            expected=said("a larger radius than the former's: every bar springs open"),
            fix=said("measure both radii to the middle of the bar, and write the finished one behind `made`"),
        )
    return FormerTrial(stock=stock.label, on_former=on_former, made=made)
