"""Bad files give findings with their place, all at once, and nothing is built from them. Never an exception."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from bad_files import BAD, HEAD, RAIL, STOCK, part, rail, shop, sizes
from handbarrow.cli.show import finding_text
from handbarrow.design.reader import DesignSource, read_design
from handbarrow.findings import Finding, Severity, errors
from handbarrow.workshop.reader import read_workshop

ROOT = Path(__file__).parents[2]


def read(kind: str, text: str) -> tuple[object, list[Finding]]:
    raw = text.encode("utf-8", "surrogateescape")
    if kind == "design":
        return read_design(raw, "cart.yaml")
    shop_values, findings, _ = read_workshop(raw, "shop.yaml")
    return shop_values, findings


def design_codes(text: str) -> list[str]:
    source, findings = read_design(text, "cart.yaml")
    assert (source is None) == bool(errors(findings))
    return [finding.code for finding in findings]


@pytest.mark.parametrize("code", sorted(BAD))
def test_each_fault_is_told_once_at_its_line(code: str) -> None:
    kind, text, line = BAD[code]
    value, findings = read(kind, text)
    told = [finding for finding in findings if finding.code == code]
    assert len(told) == 1
    assert told[0].place is not None
    assert told[0].place.line == line
    assert (value is None) == (told[0].severity is Severity.ERROR)
    if code != "more-findings":
        assert {finding.code for finding in findings} == {code}, "one fault, one finding"


@pytest.mark.parametrize("code", sorted(BAD))
def test_the_page_of_a_finding_shows_what_the_program_prints(code: str) -> None:
    kind, text, _ = BAD[code]
    told = next(finding for finding in read(kind, text)[1] if finding.code == code)
    shown = [line.rstrip() for line in finding_text(told).splitlines()]
    page = (ROOT / f"docs/findings/{code}.md").read_text()
    example = re.search(r"```\n(.*?)```", page, re.DOTALL)
    assert example is not None
    assert [line.rstrip() for line in example[1].splitlines()] == shown


def test_several_faults_come_at_once_each_with_its_line() -> None:
    text = HEAD + STOCK + "sizes:\n  bed: 19O0\n  play: 2 stone\nparts:\n  rail:\n    stock: mian\n    pionts: []\n"
    _, findings = read_design(text, "cart.yaml")
    assert [(f.code, f.place.line if f.place else 0) for f in findings] == [
        ("formula-broken", 8),
        ("unit-unknown", 9),
        ("part-without-shape", 11),
    ]
    assert findings[2].fix == "write `points`"


def test_a_size_that_failed_makes_no_more_noise_where_it_is_used() -> None:
    assert design_codes(sizes("a: 1 /", "b: a * 2", "c: b + a")) == ["formula-broken"]


def test_an_unknown_key_offers_the_nearest_one() -> None:
    _, findings = read_design(rail("raduis: 80"), "cart.yaml")
    assert findings[0].fix.startswith("write `radius`")
    assert findings[0].place is not None
    assert findings[0].place.column == 5, "the key is what is wrong, not its value"


@pytest.mark.parametrize(
    ("stock", "said"),
    [
        ("tube 26.9x13.45", "wall=13.45 mm must lie between 0 and 13.45 mm"),
        ("tube 26.9x14", "wall=14 mm must lie between 0 and 13.45 mm"),
        ("tube 0x2", "0 mm is no size"),
        ("tube -26.9x2.3", "does not begin with a kind of stock"),
        ("tube 26.9x-2.3", "-2.3 mm is no size"),
        ("tube 26.9", "1 sizes where another number is usual"),
        ("tube 26.9x2.3x1", "3 sizes where another number is usual"),
        ("square tube 15x20x1.5", "differ"),
        ("tube 1e9x2", "no size of stock"),
        ("tube 26.9 kg x 2.3", "`26.9 kg` is no size"),
        ("angle 30x30x30", "wall=30 mm"),
        ("wheel 26 x 2.1", "width-bead seat"),
        ("wheel 559-53", "no wheel has a tyre 559 mm wide"),
        ("tuba 26.9x2.3", "does not begin with a kind of stock"),
    ],
)
def test_stock_that_cannot_be_is_refused(stock: str, said: str) -> None:
    source, findings = read_design(HEAD + f"stock:\n  main: {stock}\n" + RAIL, "cart.yaml")
    assert source is None
    assert [f.code for f in findings] == ["stock-unclear"]
    assert said in findings[0].wrong


@pytest.mark.parametrize("size", ["1e999", "-1e999", "9" * 400, "1e400 mm", ".nan", ".inf", "1e9", "-100001"])
def test_huge_numbers_and_numbers_that_are_none_are_refused(size: str) -> None:
    assert design_codes(sizes(f"bed: {size}"))[0] in ("number-out-of-range", "formula-broken")
    assert read_design(rail(f"radius: {size}"), "cart.yaml")[0] is None


@pytest.mark.parametrize(
    "formula",
    [
        "9 ** 9 ** 9",
        "(-8) ** 0.5",
        "0 ** -1",
        "1e308 * 10",
        "asin(2)",
        "sqrt(-1)",
        "tan(90)",
        "floor(1e308 * 1e308)",
        "round(5, 0)",
        "sin(1e308 * 1e308)",
        "1 / (2 - 2)",
    ],
)
def test_formulas_without_a_value_say_why(formula: str) -> None:
    assert design_codes(sizes(f"bed: {formula}")) == ["formula-without-value"]


@pytest.mark.parametrize(
    "formula",
    [
        "__import__('os').system('true')",
        "().__class__.__bases__",
        "[x for x in (1, 2)]",
        "lambda: 1",
        "'a' * 1000000000",
        "1 if 2 else 3",
        "min(*[1, 2])",
        "min(a=1)",
        "1 < 2",
        "not 1",
        "1 // 2",
        "7 % 2",
        "2 ^ 3",
        "f'{1}'",
        "0x1F",
        "1_000 + 1",
        "(" * 400 + "1" + ")" * 400,
        "-" * 400 + "1",
        "1 + " * 60 + "1",
        "1j + 1",
        "True + 1j",
        "1\\n2",
        "x := 3",
        "1 +",
        "bed.length.more",
        "2 (3)",
    ],
)
def test_formulas_hold_nothing_but_sums_names_and_the_listed_functions(formula: str) -> None:
    quoted = "'" + formula.replace("'", "''") + "'"
    assert design_codes(sizes("bed: 1", f"x: {quoted}")) == ["formula-broken"]


def test_the_power_sign_of_other_notations_is_explained() -> None:
    _, findings = read_design(sizes("bed: 2 ^ 3"), "cart.yaml")
    assert "powers are written `**`" in findings[0].wrong


def test_a_ring_of_sizes_is_named_and_others_are_still_read() -> None:
    _, findings = read_design(sizes("a: b", "b: a", "c: d + 1", "d: c", "e: e", "f: 1 +"), "cart.yaml")
    rings = [f.wrong.split(": ")[1] for f in findings if f.code == "sizes-in-a-ring"]
    assert rings == ["a -> b -> a", "c -> d -> c", "e -> e"]
    assert [f.code for f in findings if f.code != "sizes-in-a-ring"] == ["formula-broken"]


@pytest.mark.parametrize(
    "text",
    [
        "[" * 1_000_000,
        "[" * 30 + "]" * 30,
        "{a: " * 250_000,
        "- " * 500_000,
        "? " * 500_000,
        "a: " * 300_000,
        '"' + "\\x41" * 200_000,
        "a: |\n" + " x\n" * 300_000,
        "&a " * 300_000,
        "- *a\n" * 1000,
        "!" * 900_000,
        "%" * 900_000,
        "\x00",
        "a: \x07",
        "\ufeff",
        "---\n...\n---\n",
        "a" * 1_000_000,
        ": 1",
        "? ",
        "-",
        "key",
        "null",
        "[]",
        "{}",
        "{? }",
        "a: &x\nb: *x",
        "<<: {a: 1}",
        "stock: {<<: {a: 1}}",
        "\u2028",
        "a: 'b\n\n\n",
    ],
    ids=lambda text: repr(text[:12]),
)
def test_hostile_text_is_refused_by_both_readers(text: str) -> None:
    source, findings = read_design(text, "x.yaml")
    assert source is None
    assert errors(findings)
    values, findings, _ = read_workshop(text, "x.yaml")
    assert values is None
    assert errors(findings)


def test_a_yaml_bomb_is_refused_before_it_unfolds() -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 10)}]" for i in range(1, 30)]
    assert design_codes("\n".join(lines)) == ["too-many-values"]
    deep = ["b0: &b0 [x]"] + [f"b{i}: &b{i} [*b{i - 1}]" for i in range(1, 60)]
    assert design_codes("\n".join(deep)) == ["nested-too-deep"]


def test_findings_are_counted_where_nobody_would_read_them_all() -> None:
    text = HEAD + STOCK + "parts:\n" + "".join(f"  p{i}: {{stock: no-{i}, points: 1}}\n" for i in range(1500))
    _, findings = read_design(text, "cart.yaml")
    assert len(findings) == 201
    assert findings[-1].code == "more-findings"


def test_aliases_and_quotation_marks_are_welcome_where_they_are_plain() -> None:
    text = HEAD + STOCK + 'sizes: {"bed": "1900", half: &h "bed / 2"}\nparts:\n  rail: &r\n    stock: "main"\n'
    text += "    points: [[0, 0, 0], [*h, 0, 0]]\n  other: *r\n"
    source, findings = read_design(text, "cart.yaml")
    assert findings == []
    assert isinstance(source, DesignSource)
    design, _ = source.evaluate()
    assert design is not None
    assert design.part("other").shape == design.part("rail").shape


def test_control_characters_of_a_file_never_reach_the_terminal() -> None:
    _, findings = read_design(HEAD + 'stock: {"a\\e[2Jb": 1}\nparts: {}\n', "cart.yaml")
    shown = "".join(finding_text(finding) for finding in findings)
    assert "\x1b" not in shown


@pytest.mark.parametrize(
    "lines",
    [
        ("dies:", "  - {name: D27, for: tube 26.9x2.3, radius: 13.45}"),
        ("dies:", "  - {name: D27, for: tube 26.9x2.3, radius: -80}"),
        ("dies:", "  - {name: D27, for: tube 26.9x2.3, radius: 80, set angle: {a: 0, b: 0.6, test bends: 6}}"),
        ("dies:", "  - {name: D27, for: tube 26.9x2.3, radius: 80, largest angle: 190}"),
        ("saw: {kerf: -2}",),
        ("limits: {bent part: 0}",),
        ("prices: {Bolt: {price: -1}}",),
    ],
)
def test_a_shop_with_sizes_that_cannot_be_is_refused(lines: tuple[str, ...]) -> None:
    values, findings, _ = read_workshop(shop(*lines), "shop.yaml")
    assert values is None
    assert [f.code for f in findings] == ["number-out-of-range"]


def test_a_shop_does_not_reckon() -> None:
    values, findings, _ = read_workshop(shop("saw: {kerf: 1 + 1}"), "shop.yaml")
    assert values is None
    assert "formulas are not read here" in findings[0].expected


@pytest.mark.parametrize(
    "cut", ["{cut facing: [0, 0, 0]}", "{meets: []}", "{gap: -1}", "mitred", "[square]", "{meet: rail}"]
)
def test_ends_that_make_no_sense_are_findings(cut: str) -> None:
    assert design_codes(rail(f"end: {cut}"))


def test_steps_out_of_order_are_told_where_they_stand() -> None:
    head = ("stock: main", "from: [0, 0, 0]", "heading: forward")
    for steps, item in [
        ("[{bend: 90}, {straight: 10}]", 0),
        ("[{straight: 10}, {straight: 10}]", 1),
        ("[{straight: 10}, {bend: 90}]", 1),
        ("[{turn: 90}, {straight: 10}]", 0),
        ("[{straight: 10}, {turn: 90}]", 1),
        ("[{to outside: 10}]", 0),
        ("[{straight: 9}, {bend: 9}, {to outside: 9}, {bend: 9}, {straight: 9}]", 2),
    ]:
        _, findings = read_design(part(*head, f"steps: {steps}"), "cart.yaml")
        assert [(f.code, f.where) for f in findings] == [("steps-out-of-order", f"parts.lug.steps[{item}]")], steps
