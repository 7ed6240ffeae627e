"""The stock roles of a design file, and the names that they give to formulas."""

from __future__ import annotations

import re

from handbarrow.design.values import StockRole, WheelSize
from handbarrow.language import said
from handbarrow.reading.book import quoted
from handbarrow.reading.spot import Spot
from handbarrow.reading.stock import stock_of

__all__ = ["formula_name", "read_stock", "role_names"]

ROLE_NAME = re.compile(r"[a-z][a-z0-9 _-]{0,59}", re.ASCII)


def formula_name(role: str) -> str:
    """Return a role's name as formulas write it: `axle angle` is `axle_angle` there."""
    return re.sub(r"[ -]", "_", role)


def read_stock(spot: Spot | None) -> dict[str, StockRole | None]:
    """Return the roles by name; None for a role whose stock cannot be read (a finding says so)."""
    roles: dict[str, StockRole | None] = {}
    if spot is None:
        return roles
    taken: dict[str, str] = {}
    for role, value in spot.entries(said("stock roles, as `main: tube 26.9x2.3`"), 200):
        roles[role] = _role(role, value)
        if not ROLE_NAME.fullmatch(role):
            spot.refuse_key(
                role,
                code="name-unclear",
                wrong=said("the role {role} has letters or signs that a name must not have", role=quoted(role)),
                expected=said("small letters, digits, spaces, `-` and `_`, a letter first"),
                fix=said("rename the role, and the parts that use it"),
            )
        other = taken.setdefault(formula_name(role), role)
        if other != role:
            spot.refuse_key(
                role,
                code="names-alike",
                wrong=said(
                    "the roles {other} and {role} are one name in formulas: {name}",
                    other=quoted(other),
                    role=quoted(role),
                    name=formula_name(role),
                ),
                expected=said("roles that differ in more than spaces, `-` and `_`"),
                fix=said("rename one of them"),
            )
    return roles


def _role(role: str, value: Spot) -> StockRole | None:
    text = value.text(said("stock such as `tube 26.9x2.3`"))
    stock = stock_of(value.refuse, text) if text else None
    if stock is None:
        return None
    return StockRole(
        role=role,
        label=stock.label,
        section=stock.section,
        thickness=stock.thickness,
        is_sheet=stock.is_sheet,
        soft=stock.soft,
        wheel=None if stock.wheel is None else WheelSize(width=stock.wheel[0], bead_seat=stock.wheel[1]),
    )


def role_names(role: StockRole) -> dict[str, float]:
    """Return what formulas may ask a role for, as `main.outside` [mm]."""
    own: dict[str, float] = {}
    if role.section is not None:
        section = role.section
        own = {"outside": section.outside, "height": section.height, "width": section.width}
        own["radius"] = section.outside / 2
        if section.wall:
            own["wall"] = section.wall
    if role.thickness is not None:
        own = {"thickness": role.thickness}
    if role.wheel is not None:
        own = {"radius": role.wheel.radius, "diameter": 2 * role.wheel.radius, "width": role.wheel.width}
    name = formula_name(role.role)
    return {f"{name}.{key}": value for key, value in own.items()}
