"""The parts of a design file: what each is, its copies, where it belongs."""

from __future__ import annotations

import re
from collections.abc import Callable

from handbarrow.design.read_context import Context, Kept
from handbarrow.design.read_motions import read_copies
from handbarrow.design.read_plates import BOLTED_KEYS, BOUGHT_KEYS, PLATE_KEYS, WHEEL_KEYS, read_bought, read_plate
from handbarrow.design.read_runs import RUN_KEYS, read_run
from handbarrow.design.read_sheets import SHEET_KEYS, read_sheet
from handbarrow.design.read_soft import PANEL_KEYS, STRAP_KEYS, read_panel, read_strap
from handbarrow.design.read_targets import targets_of
from handbarrow.design.values import Bought, Panel, Part, PlateShape, Run, Sheet, Strap
from handbarrow.language import said
from handbarrow.reading.book import nearest, quoted, some_of
from handbarrow.reading.spot import Fields, Spot

__all__ = ["read_parts"]

COMMON_KEYS = ("name", "in", "on", "mirrored", "repeated", "also at", "note")
PART_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,59}", re.ASCII)
KEYS = {
    "run": RUN_KEYS, "plate": PLATE_KEYS, "sheet": SHEET_KEYS, "bought": BOUGHT_KEYS, "wheel": WHEEL_KEYS,
    "bolted": BOLTED_KEYS, "panel": PANEL_KEYS, "strap": STRAP_KEYS,
}  # fmt: skip
READERS: dict[str, Callable[[Context, Fields], Run | PlateShape | Sheet | Panel | Strap | Bought]] = {
    "run": read_run, "plate": read_plate, "sheet": read_sheet, "bought": read_bought, "wheel": read_bought,
    "bolted": read_bought, "panel": read_panel, "strap": read_strap,
}  # fmt: skip
MARKS = (
    ("run", ("points", "steps")), ("plate", ("outline",)),
    ("sheet", ("flat", "rolled")), ("panel", ("panel",)), ("strap", ("strap",)),
    ("bolted", ("bolted",)), ("bought", ("bought",)),
)  # fmt: skip
MARK_KEYS = tuple(key for _, keys in MARKS for key in keys)


def read_parts(spot: Spot | None, context: Context) -> tuple[Part, ...]:
    """Return the parts in the order of the file."""
    if spot is None:
        return ()
    parts = []
    for name, value in spot.entries(said("parts by name"), 2000):
        if not PART_NAME.fullmatch(name):
            spot.refuse_key(
                name,
                code="name-unclear",
                wrong=said("the part {name} has letters or signs that a name must not have", name=quoted(name)),
                expected=said("small letters, digits and `-`"),
                fix=said("rename the part; words for the sheets go behind `name`"),
            )
        again = context.again(name)
        if again is not None:
            parts.append(again)
            continue
        value.scope.touched.clear()
        before = len(context.named)
        part = _part(name, value, context)
        parts.append(part)
        if context.changed is None:
            named = tuple(context.named[before:])
            context.kept[name] = Kept(frozenset(value.scope.touched), part, named)
    return tuple(parts)


def _part(name: str, value: Spot, context: Context) -> Part:
    kind = _kind(value, context)
    fields = value.fields((*KEYS[kind or "bought"], *COMMON_KEYS)) if kind or not value.is_map else Fields(value, {})
    on = fields.get("on")
    shape = READERS[kind](context, fields) if kind else Bought(item="")
    bolted = shape.bolted if isinstance(shape, Bought) else None
    held = bolted.through if bolted else ()
    return Part(
        id=name,
        title=fields.text("name") or name.replace("-", " "),
        shape=shape,
        assembly=_assembly(fields, context),
        copies=read_copies(fields, context),
        on=held if on is None else context.targets(targets_of(on)),
        note=fields.text("note"),
    )


def _kind(value: Spot, context: Context) -> str | None:
    """What kind of part the keys make it; None (with a finding) if that is not clear."""
    keys = value.node.keys
    for kind, marks in MARKS:
        if any(mark in keys for mark in marks):
            return kind
    stock = keys.get("stock")
    role = context.roles.get(stock.text.strip()) if stock is not None and stock.kind == "text" else None
    if role is not None and role.wheel is not None:
        return "wheel"
    if not value.is_map:
        return None
    is_plate = role is not None and role.section is None
    lacking: str = "`outline`" if is_plate else said("`points` or `steps`")
    lacking = said("`flat` or `rolled`") if role is not None and role.is_sheet else lacking
    if role is not None and role.soft is not None:
        lacking = "`panel`" if role.soft.kind == "cloth" else "`strap`"
    close = next((near for key in keys if (near := nearest(key, MARK_KEYS))), None)
    value.refuse(
        code="part-without-shape",
        wrong=said("nothing says what shape this part has"),
        expected=said("`points` or `steps`, `outline`, `bought` or `bolted`")
        if role is None
        else said("{keys}, as it is made of {stock}", keys=lacking, stock=role.label),
        fix=said("write `{close}`", close=close) if close else said("add one of them"),
    )
    return None


def _assembly(fields: Fields, context: Context) -> str:
    spot = fields.get("in")
    known = context.assemblies
    if spot is None:
        if len(known) > 1 and fields.keys:
            fields.spot.refuse(
                code="key-missing",
                wrong=said("`in` is missing"),
                expected=said("the assembly that the part belongs to: {names}", names=some_of(known)),
                fix=said("add `in: {assembly}`", assembly=known[0]),
            )
        return known[0]
    name = spot.text(said("an assembly"))
    if name and name not in known:
        close = fields.spot.book.nearest(name, known)
        spot.refuse(
            code="unknown-assembly",
            wrong=said("{name} is no assembly", name=quoted(name)),
            expected=said("one of {names}", names=some_of(known))
            if context.assemblies_given
            else said("no `in` where there is one assembly"),
            fix=said("write `{close}`", close=close)
            if close
            else said("name an assembly, or add this one under `assemblies`"),
        )
    return name
