"""Stop settings: of one bend, and one list for the whole batch in which each is set once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from handbarrow.job.values import BendCard, StopSetting
from handbarrow.laws.bending.blank import Blank, Made
from handbarrow.laws.bending.order import Step
from handbarrow.workshop.values import Workshop

__all__ = ["bend_stops", "stop_list"]

Touches = Literal["end", "leg"]
Key = tuple[str, Touches, int]
"""Die, what the stop touches, index of the merged setting."""


def bend_stops(
    blank: Blank, step: Step, made: Made, workshop: Workshop
) -> tuple[float | None, float | None, float | None, Literal["end", "leg", "none"]]:
    """Return (stop against the end, against the leg, the one to use, what it touches) for one bend [mm].

    A stop exists on the bender only, and not beyond `longest_stop`. The shop's preferred one is used where there is
    one, else the other.
    """
    k, feed = step
    if not blank.bends[k].on_bender:
        return None, None, None, "none"
    longest = workshop.bender.longest_stop
    at = {"end": blank.stop_end(k, feed, made), "leg": blank.stop_leg(k, feed, made)}
    if longest is not None:
        at = {name: None if value is None or value > longest + 1e-9 else value for name, value in at.items()}
    wanted: tuple[Touches, Touches] = ("end", "leg") if workshop.bender.stop == "end" else ("leg", "end")
    for name in wanted:
        if at[name] is not None:
            return at["end"], at["leg"], at[name], name
    return at["end"], at["leg"], None, "none"


@dataclass(slots=True)
class _Piece:
    """A part on its way through the settings: its bends with a stop, in the order in which they are bent."""

    part: str
    count: int
    bends: list[tuple[int, Key]] = field(default_factory=list)
    done: int = 0


def stop_list(
    cards: Mapping[str, BendCard], quantities: Mapping[str, int], workshop: Workshop
) -> tuple[StopSetting, ...]:
    """Return the stop settings of the batch in the order in which they are set.

    Settings of one die that touch the same thing and lie within `limits.merge_stops` of each other become one: its
    value is the middle between the smallest and the largest, so no bend is off by more than half of that limit. The
    list keeps the order of bends in every part, stays on a die as long as it can, and goes through every setting once;
    only where two parts ask for two settings in opposite orders, one of them is set a second time. Bends without a
    stop (set to the mark) are not in it.

    Args:
        cards: Cards by part.
        quantities: Pieces in the batch by part.
        workshop: The shop.

    Returns:
        Settings; `uses` holds (part, bend number, pieces).
    """
    values: dict[tuple[str, Touches], list[float]] = {}
    for card in cards.values():
        for row in card.rows:
            if row.stop is not None and row.stop_touches != "none":
                values.setdefault((row.die, row.stop_touches), []).append(row.stop)
    merged = {kind: _merge(found, workshop.limits.merge_stops) for kind, found in values.items()}
    pieces = []
    for part, card in cards.items():
        piece = _Piece(part, quantities.get(part, 0))
        for row in card.in_order:
            if row.stop is not None and row.stop_touches != "none":
                groups = merged[row.die, row.stop_touches]
                index = next(i for i, (low, high) in enumerate(groups) if low <= row.stop <= high)
                piece.bends.append((row.number, (row.die, row.stop_touches, index)))
        if piece.count and piece.bends:
            pieces.append(piece)
    return tuple(_settings(pieces, merged))


def _merge(values: Iterable[float], within: float) -> list[tuple[float, float]]:
    """Cover values by the fewest intervals not wider than `within`: (smallest, largest) of each, ascending."""
    out: list[tuple[float, float]] = []
    for value in sorted(values):
        if out and value - out[-1][0] <= within + 1e-9:
            out[-1] = (out[-1][0], value)
        else:
            out.append((value, value))
    return out


def _settings(
    pieces: list[_Piece], merged: Mapping[tuple[str, Touches], list[tuple[float, float]]]
) -> Iterable[StopSetting]:
    die = ""
    while any(piece.done < len(piece.bends) for piece in pieces):
        key = _next(pieces, die)
        die, touches, index = key
        low, high = merged[die, touches][index]
        uses = []
        for piece in pieces:
            while piece.done < len(piece.bends) and piece.bends[piece.done][1] == key:
                uses.append((piece.part, piece.bends[piece.done][0], piece.count))
                piece.done += 1
        yield StopSetting(value=(low + high) / 2, touches=touches, die=die, uses=tuple(uses))


def _next(pieces: list[_Piece], die: str) -> Key:
    """Choose the setting to make next: all its bends ready, else the one that most pieces wait for."""
    ready: dict[Key, int] = {}
    later: set[Key] = set()
    for piece in pieces:
        left = [key for _, key in piece.bends[piece.done :]]
        if not left:
            continue
        ready[left[0]] = ready.get(left[0], 0) + piece.count
        run = next((i for i, key in enumerate(left) if key != left[0]), len(left))
        later.update(left[run:])
    whole = [key for key in ready if key not in later]
    if whole:
        return min(whole, key=lambda key: (key[0] != die, key))
    return min(ready, key=lambda key: (-ready[key], key[0] != die, key))
