"""Whatever a file holds, reading ends with a value or with findings that have a place. Never an exception."""

from __future__ import annotations

import contextlib
import random
import re

import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bad_files import EXAMPLES, SHOP_EXAMPLE
from designs import EVERY_KEY
from handbarrow.design.reader import read_design
from handbarrow.findings import errors
from handbarrow.reading.formula import Evaluator, Formula, FormulaFault, compile_formula
from handbarrow.workshop.reader import read_workshop

MANY = settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
WORDS = sorted(set(re.findall(r"[a-z][a-z -]*[a-z](?=:)", EVERY_KEY + SHOP_EXAMPLE)))
SCALARS = st.one_of(
    st.sampled_from(
        ["", "1", "-1", "0", "1e9", "90 deg", "1 1/4 in", "yes", "up", "tube 26.9x2.3", "main", "a + 1", "~"]
    ),
    st.text(max_size=12),
    st.integers(),
    st.floats(),
    st.booleans(),
    st.none(),
)
TREES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=5),
        st.dictionaries(st.one_of(st.sampled_from(WORDS), st.text(max_size=6)), inner, max_size=6),
    ),
    max_leaves=30,
)
SECTIONS = (
    "name",
    "stock",
    "sizes",
    "results",
    "assemblies",
    "parts",
    "dies",
    "bender",
    "saw",
    "limits",
    "prices",
    "show",
    "consumables",
    "swivel",
)
FILES = st.dictionaries(st.sampled_from(SECTIONS), TREES, max_size=8)


def ends_well(text: str | bytes) -> None:
    source, findings = read_design(text, "any.yaml")
    assert (source is None) == bool(errors(findings))
    assert all(finding.place is not None and finding.place.line >= 1 for finding in findings)
    assert len(findings) <= 201
    if source is not None:
        design, again = source.evaluate()
        assert design is not None
        assert again == []
    values, findings, _ = read_workshop(text, "any.yaml")
    assert (values is None) == bool(errors(findings))
    assert all(finding.place is not None for finding in findings)


@MANY
@given(st.text(max_size=300))
def test_any_text(text: str) -> None:
    ends_well(text)


@MANY
@given(st.binary(max_size=300))
def test_any_bytes(raw: bytes) -> None:
    ends_well(raw)


@MANY
@given(st.text(alphabet=" \n\t-:{}[]?&*!|>'\"%@,#ab1", max_size=300))
def test_any_text_of_the_signs_that_yaml_knows(text: str) -> None:
    ends_well("handbarrow: design 1\n" + text)
    ends_well(text)


@MANY
@given(FILES, st.sampled_from(["design 1", "workshop 1"]))
def test_any_tree_of_keys_and_values(tree: dict[str, object], header: str) -> None:
    with contextlib.suppress(yaml.YAMLError, ValueError, UnicodeError):
        ends_well(yaml.safe_dump({"handbarrow": header, **tree}, allow_unicode=True))


@MANY
@given(st.sampled_from(EXAMPLES), st.integers(0, 2**32 - 1), st.integers(1, 4))
def test_any_small_change_of_a_good_file(text: str, seed: int, changes: int) -> None:
    chance = random.Random(seed)  # noqa: S311 - hypothesis draws the seed
    lines = text.split("\n")
    for _ in range(changes):
        at = chance.randrange(len(lines))
        line = lines[at]
        column = chance.randrange(len(line) + 1)
        what = chance.randrange(8)
        if what == 0:
            lines[at] = line[:column] + chance.choice(" \t:-{}[],#'\"&*!|>%@`0x9.") + line[column:]
        elif what == 1:
            lines[at] = line[:column] + line[column + chance.randrange(1, 4) :]
        elif what == 2:
            del lines[at]
        elif what == 3:
            lines.insert(at, chance.choice(lines))
        elif what == 4:
            lines[at] = re.sub(r"-?\d+(\.\d+)?", chance.choice(["0", "-1", "1e9", "1e999", "x", ""]), line, count=1)
        elif what == 5:
            lines[at] = "  " + line
        elif what == 6:
            lines[at] = re.sub(r"[a-z]+", lambda found: chance.choice([found[0], found[0][::-1], "up"]), line)
        else:
            other = chance.randrange(len(lines))
            lines[at], lines[other] = lines[other], line
        if not lines:
            lines = [""]
    ends_well("\n".join(lines))


NAMES = {"a": 3.0, "b": -2.5, "zero": 0.0, "main.outside": 26.9, "slope": 12.0}
FORMULAS = st.recursive(
    st.sampled_from([*NAMES, "1", "2.5", ".5", "1e3", "1e308", "pi", "0"]),
    lambda inner: st.one_of(
        st.builds(lambda a, op, b: f"{a}{op}{b}", inner, st.sampled_from(["+", "-", "*", "/", "**", " - "]), inner),
        st.builds(lambda a: f"-({a})", inner),
        st.builds(
            lambda name, *args: f"{name}({','.join(args)})",
            st.sampled_from(["sin", "tan", "sqrt", "asin", "floor", "round", "abs", "min", "atan2", "hypot", "max"]),
            inner,
            inner,
        ),
        st.builds(
            lambda name, a: f"{name}({a})", st.sampled_from(["sin", "cos", "tan", "sqrt", "ceil", "acos", "min"]), inner
        ),
    ),
    max_leaves=12,
)


@settings(max_examples=400, deadline=None)
@given(FORMULAS)
def test_any_formula_has_a_finite_value_or_says_why_not(text: str) -> None:
    formula = compile_formula(text)
    if isinstance(formula, FormulaFault):
        assert formula.wrong
        return
    assert isinstance(formula, Formula)
    assert set(formula.names) <= {*NAMES, "pi"}
    value = Evaluator(NAMES).value(formula)
    if isinstance(value, float):
        assert abs(value) < float("inf")
    else:
        assert value.wrong


@settings(max_examples=400, deadline=None)
@given(st.text(alphabet="ab1.+-*/() ,_^%'\"[]{}:=<>", max_size=60))
def test_any_signs_are_a_formula_or_say_why_not(text: str) -> None:
    formula = compile_formula(text)
    if isinstance(formula, Formula):
        known = dict.fromkeys(formula.names, 1.5)
        assert isinstance(Evaluator(known).value(formula), float | FormulaFault)
    else:
        assert formula.wrong


@settings(max_examples=200, deadline=None)
@given(st.integers(-50, 50), st.integers(-50, 50), st.integers(1, 50))
def test_formulas_reckon_as_paper_does(a: int, b: int, c: int) -> None:
    # closed form: the four rules bind as in a sum written by hand, powers first
    formula = compile_formula("a + b * c - a / c + (a - b) ** 2")
    assert isinstance(formula, Formula)
    value = Evaluator({"a": a, "b": b, "c": c}).value(formula)
    assert value == a + b * c - a / c + (a - b) ** 2
