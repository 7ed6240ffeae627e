"""What the shop needs to pull a part round a former, as frozen values. Lengths mm, angles rad, moments N mm."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Pull", "PulledBend"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PulledBend:
    """One bend and its former.

    Attributes:
        number: Along the part from the datum end, from 1.
        radius: Centreline radius as made.
        angle_rad: Of the finished bend.
        on_former: Centreline radius while it lies on the former.
        face: Radius of the former's face.
        pulled_rad: How far round it is pulled.
        moment_nmm: That pulls it there.
        chord: Between the ends of the finished curve, inside of the bend; of half a circle at most.
        rise: From that chord to the curve, inside of the bend.
        steps: Marks of the steps in the vice, from the start of the sawn length; empty for a former.
    """

    number: int
    radius: float
    angle_rad: float
    on_former: float
    face: float
    pulled_rad: float
    moment_nmm: float
    chord: float
    rise: float
    steps: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """How a part is pulled.

    Attributes:
        over: `former` or `vice`.
        bends: Its bends.
        yield_mpa: What was reckoned with.
        trial: Whether a trial piece of the shop stands behind it; else it is a first guess.
        before: How much longer it is sawn at the datum end, for the clamp.
        after: How much longer at the far end, for the grip.
        hand_n: With which force at the very end.
        pieces: How many pieces are pulled in one length and cut apart afterwards.
        saw_length: Of that length.
        marks: Start and end of each piece, from the start of that length.
    """

    over: Literal["former", "vice"]
    bends: tuple[PulledBend, ...]
    yield_mpa: float
    trial: bool
    before: float
    after: float
    hand_n: float
    pieces: int
    saw_length: float
    marks: tuple[tuple[float, float], ...]
