"""The order in which named formulas can be reckoned, and the rings in which they wait for each other."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

__all__ = ["reckoning_order"]


def reckoning_order(needs: Mapping[str, Iterable[str]]) -> tuple[list[str], list[list[str]]]:
    """Return the names so that each follows those it needs, and the rings: `[a, b, a]` where a needs b and b needs a.

    Args:
        needs: For each name the names that it needs; those that are no names of the mapping are passed over.

    Names of a ring, and those that need them, are in the order too. Each ring is told once.
    """
    done: dict[str, bool] = {}
    order: list[str] = []
    rings: list[list[str]] = []
    for first in needs:
        if first in done:
            continue
        trail = [first]
        open_needs = [iter(needs[first])]
        done[first] = False
        while trail:
            following = next((n for n in open_needs[-1] if n in needs and done.get(n) is not True), None)
            if following is None:
                name = trail.pop()
                open_needs.pop()
                done[name] = True
                order.append(name)
            elif following in done:
                rings.append([*trail[trail.index(following) :], following])
            else:
                done[following] = False
                trail.append(following)
                open_needs.append(iter(needs[following]))
    return order, rings
