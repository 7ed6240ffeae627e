"""Roots against scipy's brentq (a general-purpose reference library) and against closed forms."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from scipy.optimize import brentq

from handbarrow.laws.geometry.roots import bracketed_root

CASES: list[tuple[Callable[[float], float], float, float]] = [
    (lambda x: x**3 - 2 * x - 5, 2, 3),
    (lambda x: math.cos(x) - x, 0, 1),
    (lambda x: x * math.exp(-x) - 0.1, 0, 1),
    (lambda x: math.atan(x - 0.3), -20, 50),
    (lambda x: math.copysign(1.0, x - 0.7) + (x - 0.7), 0, 1),
    (lambda x: 1 / (x - 2.0) if x != 2 else 1e9, 2.0001, 1.9999),
    (lambda x: x**20 - 1e-3, 0, 3),
    (lambda x: 1e-8 * (x - 5), 0, 30),
]


@pytest.mark.parametrize(("f", "low", "high"), CASES[:4] + CASES[6:])
def test_the_root_is_that_of_a_library(f: Callable[[float], float], low: float, high: float) -> None:
    root = bracketed_root(f, (low, f(low)), (high, f(high)))
    assert root.x == pytest.approx(brentq(f, low, high, xtol=1e-13), abs=1e-9)
    assert root.residual == f(root.x)
    assert root.calls <= 100


@pytest.mark.parametrize(("f", "low", "high"), CASES[4:6])
def test_a_jump_is_closed_in_on(f: Callable[[float], float], low: float, high: float) -> None:
    root = bracketed_root(f, (low, f(low)), (high, f(high)))
    assert root.x == pytest.approx(0.7 if low == 0 else 2.0, abs=1e-9)
    assert abs(root.residual) > 0.5


def test_a_straight_line_is_done_after_one_call() -> None:
    root = bracketed_root(lambda x: 3 * x - 7, (0, -7), (100, 293), near_f=1e-9)
    assert root.calls == 1
    assert root.x == pytest.approx(7 / 3)


def test_an_end_that_is_a_root_needs_no_call() -> None:
    assert bracketed_root(math.sin, (0.0, 0.0), (1.0, math.sin(1.0))).calls == 0


def test_ends_of_one_sign_are_refused() -> None:
    with pytest.raises(ValueError, match="same sign"):
        bracketed_root(math.exp, (0, 1.0), (1, math.e))


def test_a_root_of_ninth_order_is_closed_in_on() -> None:
    # closed form: 1; the library gives up on it
    root = bracketed_root(lambda x: (x - 1) ** 9, (-3, -(4.0**9)), (2.5, 1.5**9))
    assert root.x == pytest.approx(1.0, abs=1e-2)
    assert abs(root.residual) < 1e-12
    assert root.calls <= 100
