"""The tutorial's blocks, put together as it says, are the handcart; every page leaves a file that can be checked."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml

from handbarrow.cli.show import checks, finding_text, summary
from handbarrow.design.reader import read_design
from handbarrow.findings import errors
from handbarrow.job.build import build_job
from handbarrow.workshop.reader import read_workshop

ROOT = Path(__file__).parents[2]
PAGES = sorted((ROOT / "docs/tutorial").glob("*.md"))
SECTIONS = ("stock", "sizes", "results", "assemblies", "carries", "parts")
ORDER = ("", *SECTIONS)
BLOCK = re.compile(r"^```yaml\n(.*?)^```", re.MULTILINE | re.DOTALL)


def put_together(pages: list[Path]) -> str:
    """Put the blocks together: one that begins with a word that is already in the file goes on under that word."""
    bodies: dict[str, list[str]] = {key: [] for key in ORDER}
    for page in pages:
        for block in BLOCK.findall(page.read_text()):
            section = ""
            for line in block.splitlines():
                key = line[:-1] if line.endswith(":") else ""
                if key in SECTIONS:
                    section = key
                    bodies[section] = bodies[section] or [line]
                else:
                    bodies[section].append(line)
    return "\n".join("\n".join(lines) for lines in bodies.values() if lines) + "\n"


def without_blank_lines(text: str) -> list[str]:
    return [line.rstrip() for line in text.splitlines() if line.strip()]


def test_the_blocks_of_the_tutorial_are_the_handcart_file() -> None:
    together = put_together(PAGES)
    assert without_blank_lines(together) == without_blank_lines((ROOT / "examples/handcart.yaml").read_text())


@pytest.mark.parametrize("page", range(1, 4))
def test_each_page_leaves_a_file_without_errors(page: int) -> None:
    source, findings = read_design(put_together(PAGES[:page]).encode(), "handcart.yaml")
    workshop, found, _ = read_workshop((ROOT / "examples/ridge-workshop.yaml").read_bytes(), "ridge-workshop.yaml")
    assert source is not None and workshop is not None, findings + found
    job, found = build_job(source, workshop, 1)
    assert job is not None, errors(found)


def test_the_mistake_in_the_tutorial_is_told_as_it_prints() -> None:
    page = (ROOT / "docs/tutorial/2-wheels.md").read_text()
    wrong = put_together(PAGES[:2]).replace("[0, -axle_half, 0]", "[0, -axle_hlaf, 0]")
    source, findings = read_design(wrong.encode(), "handcart.yaml")
    assert source is None
    assert len(findings) == 1
    told = [block for block in re.findall(r"^```text\n(.*?)^```", page, re.MULTILINE | re.DOTALL) if "error" in block]
    assert len(told) == 1
    printed = finding_text(findings[0])
    number = re.compile(r"^handcart.yaml:\d+|^ +\d+ \| ", re.MULTILINE)  # line numbers depend on blank lines
    assert number.sub("", told[0].strip()) == number.sub("", printed)


def test_the_handle_of_the_tutorial_is_as_long_as_it_says() -> None:
    source, _ = read_design(put_together(PAGES).encode(), "handcart.yaml")
    workshop, _, _ = read_workshop((ROOT / "examples/ridge-workshop.yaml").read_bytes(), "ridge-workshop.yaml")
    assert source is not None and workshop is not None
    job, _ = build_job(source, workshop, 1)
    assert job is not None
    found = next(s.value for s in job.sizes if s.name == "handle_leg")
    assert f"`handle_leg` {found:.1f} on our die" in (ROOT / "docs/tutorial/3-legs-and-handle.md").read_text()


def test_the_checks_in_the_tutorial_are_what_the_program_prints(capsys: pytest.CaptureFixture[str]) -> None:
    # recorded: guards the page, proves nothing about the numbers
    source, _ = read_design((ROOT / "examples/handcart.yaml").read_bytes(), "handcart.yaml")
    workshop, _, _ = read_workshop((ROOT / "examples/ridge-workshop.yaml").read_bytes(), "ridge-workshop.yaml")
    assert source is not None and workshop is not None
    job, _ = build_job(source, workshop, 1)
    assert job is not None
    checks(job)
    printed = capsys.readouterr().out
    assert "never replace" in printed
    assert printed.strip() in (ROOT / "docs/tutorial/3-legs-and-handle.md").read_text()


def test_the_summary_in_the_tutorial_is_what_the_program_prints(capsys: pytest.CaptureFixture[str]) -> None:
    # recorded: guards the page, proves nothing about the numbers
    source, _ = read_design((ROOT / "examples/handcart.yaml").read_bytes(), "handcart.yaml")
    workshop, _, _ = read_workshop((ROOT / "examples/ridge-workshop.yaml").read_bytes(), "ridge-workshop.yaml")
    assert source is not None and workshop is not None
    job, _ = build_job(source, workshop, 4)
    assert job is not None
    summary(job, [], Path("out/handcart"), as_json=False)
    printed = [line for line in capsys.readouterr().out.splitlines() if line.startswith("  ")][:5]
    page = (ROOT / "docs/tutorial/4-to-the-bench.md").read_text()
    assert printed[0].startswith("  parts")
    assert [line for line in printed if line not in page] == []


@pytest.mark.parametrize("page", sorted((ROOT / "docs/how-to").glob("*.md")), ids=lambda p: p.stem)
def test_blocks_of_the_how_to_pages_are_whole_yaml(page: Path) -> None:
    text = page.read_text()
    blocks = re.findall(r"^( *)```yaml\n(.*?)^ *```", text, re.MULTILINE | re.DOTALL)
    assert blocks or re.search(r"^(    )?handbarrow \w+", text, re.MULTILINE), (
        "a how-to page shows what to write, or which command"
    )
    for _, block in blocks:
        assert isinstance(yaml.safe_load(block), dict)


@pytest.mark.parametrize("page", sorted(ROOT.glob("docs/**/*.md")) + sorted(ROOT.glob("*.md")), ids=str)
def test_links_between_pages_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#]+?)(?:#[^)]*)?\)", page.read_text()):
        if "://" not in target:
            assert (page.parent / target).exists(), f"{page.name} links to {target}"
