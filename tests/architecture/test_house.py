"""The house holds itself to its own rules: layers, sizes, words, pages."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

import handbarrow
import handbarrow.laws

ROOT = Path(__file__).parents[2]
SOURCES = sorted((ROOT / "src/handbarrow").rglob("*.py"))
UNIT = re.compile(r"\[(mm|mm2|mm3|mm4|kg|rad|MPa|N|N mm|-|any unit|kg/mm|kg/mm3|mm/rad|deg|currency)[^\]]*\]")


def test_rooms_import_only_what_lies_below_them() -> None:
    done = subprocess.run(
        [Path(sys.executable).with_name("lint-imports"), "--no-cache"], cwd=ROOT, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stdout
    assert "rooms of the house KEPT" in done.stdout


def codes_in_source() -> dict[str, Path]:
    """Every literal `code="..."` given to a call in the source; those of printed sheets begin with a `+`."""
    out: dict[str, Path] = {}
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.keyword) and node.arg == "code" and isinstance(node.value, ast.Constant):
                out[str(node.value.value)] = path
    return {code: path for code, path in out.items() if not code.startswith("+")}


def test_every_finding_has_a_page_and_every_page_a_finding() -> None:
    codes = set(codes_in_source())
    pages = {p.stem for p in (ROOT / "docs/findings").glob("*.md")} - {"README"}
    assert len(codes) > 20
    assert codes - pages == set(), "codes without a page in docs/findings"
    assert pages - codes == set(), "pages of codes that no longer exist"


def test_codes_are_written_as_literals_so_that_they_can_be_counted() -> None:
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Finding":
                given = [k.value for k in node.keywords if k.arg == "code"]
                assert given, f"{path}:{node.lineno}: a finding without a code"
                assert isinstance(given[0], ast.Constant | ast.Name), f"{path}:{node.lineno}"


@pytest.mark.parametrize("page", sorted((ROOT / "docs/findings").glob("*.md")), ids=lambda p: p.stem)
def test_a_finding_page_starts_with_its_code_and_says_how_to_mend_it(page: Path) -> None:
    text = page.read_text()
    if page.stem != "README":
        assert text.startswith(f"# {page.stem}\n")
        assert len(text.split()) > 30, "a page says what it means and how to mend it"


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT / "src/handbarrow")))
def test_no_file_outgrows_what_one_can_hold_in_mind(path: Path) -> None:
    assert len(path.read_text().splitlines()) <= 420


def law_modules() -> Iterator[str]:
    for found in pkgutil.walk_packages(handbarrow.laws.__path__, "handbarrow.laws."):
        yield found.name


def silent(function: object) -> str | None:
    """Return what a law's docstring lacks, or None."""
    text = inspect.getdoc(function) or ""
    if "Source:" not in text:
        return "no Source"
    return None if UNIT.search(text) or "unit" in text else "no [unit]"


def test_every_public_law_names_its_source_and_its_units() -> None:
    lacking = []
    for name in law_modules():
        module = importlib.import_module(name)
        for public in getattr(module, "__all__", []):
            thing = getattr(module, public)
            if inspect.isfunction(thing) and thing.__module__ == name and (why := silent(thing)):
                lacking.append(f"{name}.{public}: {why}")
    assert lacking == []


def test_a_silent_law_is_caught() -> None:
    def no_source() -> None:
        """Return a length [mm]."""

    def no_units() -> None:
        """Return a length. Source: plane geometry."""

    assert silent(no_source) == "no Source"
    assert silent(no_units) == "no [unit]"


def imported_by(*arguments: str) -> set[str]:
    code = (
        "import sys\nfrom handbarrow.cli import main\n"
        f"try:\n    main({list(arguments)!r})\nexcept SystemExit:\n    pass\n"
        "sys.stderr.write(' '.join(sorted({m.split('.')[0] for m in sys.modules})))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    return set(done.stderr.split())


SERVER = {"fastapi", "starlette", "pydantic", "uvicorn", "jinja2", "ruamel", "websockets", "anyio"}
"""Only the workbench needs these."""


def test_help_waits_for_nothing_heavy() -> None:
    heavy = {"numpy", "highspy", "yaml", "typst", "ezdxf", "xlsxwriter", "simpleeval", "scipy"} | SERVER
    assert imported_by("--help") & heavy == set()


def test_job_data_loads_no_writer_of_sheets() -> None:
    loaded = imported_by("data", "examples/handcart.yaml", "--workshop", "examples/ridge-workshop.yaml", "--units", "2")
    assert "numpy" in loaded
    assert loaded & ({"typst", "ezdxf", "xlsxwriter", "scipy", "pint", "shapely"} | SERVER) == set()


def test_nothing_third_party_is_kept_in_the_tree() -> None:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False).stdout
    bad = [f for f in listed.splitlines() if re.search(r"\.(ttf|otf|woff2?|min\.js|min\.css)$|node_modules/", f)]
    assert bad == []


def test_whatever_the_program_imports_it_asks_for_itself() -> None:
    """A library that is there only because a test or another library brought it would lack in the shop."""
    wanted = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    asked = [
        *wanted["dependencies"],
        *(one for extra in ("step", "cluster") for one in wanted["optional-dependencies"][extra]),
    ]
    names = {re.split(r"[<>=!~;\[ ]", line)[0].lower().replace("_", "-") for line in asked}
    brought_by = packages_distributions()
    lacking: dict[str, str] = {}
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text())):
            modules = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            modules += [node.module or ""] if isinstance(node, ast.ImportFrom) and not node.level else []
            for top in {module.split(".")[0] for module in modules} - sys.stdlib_module_names - {"handbarrow", ""}:
                if not {name.lower().replace("_", "-") for name in brought_by.get(top, [top])} & names:
                    lacking[top] = path.name
    assert lacking == {}
