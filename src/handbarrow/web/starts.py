"""Starting designs, and what a person gives them first: wheel, tube, bed, height of the handle or tow eye."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files as package_files
from pathlib import Path

from handbarrow.design.reader import read_design
from handbarrow.findings import Finding, errors
from handbarrow.job.values import Job
from handbarrow.job.work_out import work_out
from handbarrow.language import said
from handbarrow.web.edit import EditError, replaced, scalar_text
from handbarrow.web.versions import Content
from handbarrow.workshop.reader import read_shop

__all__ = [
    "SHOPS",
    "STARTS",
    "WHEELS",
    "Field",
    "Start",
    "about",
    "adapted",
    "against",
    "shop_text",
    "start_job",
    "tubes",
    "unreadable",
]

DESIGN, WORKSHOP = "design.yaml", "workshop.yaml"


@dataclass(frozen=True, slots=True)
class Field:
    """Something that a person gives: its name in `words_pages.START`, where it stands in the file."""

    name: str
    path: tuple[str | int, ...]
    choices: str = ""
    """Name of a list of usual answers."""

    def says(self, design: str) -> str:
        """What stands there; of a wheel only its size."""
        text = scalar_text(design, self.path) or ""
        return text.removeprefix("wheel ") if self.name == "wheel" else text

    def written(self, given: str) -> str:
        """What is written for an answer; of a wheel with its word before it."""
        text = " ".join(given.split())
        return f"wheel {text}" if self.name == "wheel" and not text.startswith("wheel ") else text

    @property
    def where(self) -> tuple[str, ...]:
        """Beginnings of the paths of findings that speak of it."""
        whole = ".".join(str(step) for step in self.path)
        return (whole, ".".join(str(step) for step in self.path[:2]))


@dataclass(frozen=True, slots=True)
class Start:
    """A starting design."""

    id: str
    file: str
    fields: tuple[Field, ...]

    @property
    def text(self) -> str:
        """The design file."""
        return _text(self.file)


WHEEL = Field("wheel", ("stock", "wheel"), "wheels")
TUBES = (Field("tube", ("stock", "main"), "tubes"), Field("light", ("stock", "light"), "tubes"))
LENGTH = Field("bed_length", ("sizes", "bed_length"))
WIDTH = Field("bed_width", ("sizes", "bed_width", "value"))
STARTS: Mapping[str, Start] = {
    start.id: start
    for start in (
        Start(
            "hut-trailer",
            "hut-trailer.yaml",
            (WHEEL, LENGTH, WIDTH, Field("tow_eye", ("sizes", "riser", "equals")), *TUBES),
        ),
        Start(
            "handcart",
            "handcart.yaml",
            (WHEEL, LENGTH, WIDTH, Field("handle", ("sizes", "handle_leg", "equals")), *TUBES),
        ),
        Start(
            "carrying-cot",
            "carrying-cot.yaml",
            (LENGTH, WIDTH, Field("bed_height", ("sizes", "leg_height", "equals")), *TUBES),
        ),
    )
}
SHOPS = ("ridge-workshop", "valley-workshop")
"""Workshops to begin with."""
WHEELS = ("47-305", "47-406", "50-406", "47-507", "40-559", "53-559", "37-622", "47-622")


def adapted(start: Start, title: str, given: Mapping[str, str]) -> tuple[str, dict[str, list[Finding]]]:
    """Return the design with what a person gave, and findings about answers that cannot be written, by field."""
    text, wrong = start.text, dict[str, list[Finding]]()
    if title:
        text = replaced(text, ["name"], title)
    for field in start.fields:
        answer = given.get(field.name, "").strip()
        if not answer or answer == field.says(text):
            continue
        try:
            text = replaced(text, field.path, field.written(answer))
        except EditError:
            wrong.setdefault(field.name, []).append(_unwritable(field, answer))
    return text, wrong


def _unwritable(field: Field, answer: str) -> Finding:
    return Finding(
        code="request-unclear",
        where=field.where[0],
        wrong=said("{answer!r} cannot be written into the file", answer=answer[:80]),
        expected=said("a number, a quantity with its unit, or a name, in one line"),
        fix=said("write it anew"),
    )


def against(content: Content) -> list[Finding]:
    """Return the errors that stand against a design in a workshop, none if it can be built."""
    source, findings = read_design(content.design, DESIGN)
    job, told = work_out(source, read_shop(content.workshop, WORKSHOP), findings, 1, with_cutting=False)
    return errors(told) if job is None else []


def unreadable(content: Content) -> list[Finding]:
    """Return why a design or a workshop file cannot be read at all, nothing if both can."""
    source, findings = read_design(content.design, DESIGN)
    read = read_shop(content.workshop, WORKSHOP)
    return [*(errors(findings) if source is None else ()), *(errors(read.findings) if read.shop is None else ())]


def about(start: Start, findings: list[Finding]) -> tuple[dict[str, list[Finding]], list[Finding]]:
    """Sort findings: those that speak of a field, by its name, and the others."""
    by_field: dict[str, list[Finding]] = {}
    others = []
    for finding in findings:
        name = next((f.name for f in start.fields if finding.where.startswith(f.where)), "")
        if name:
            by_field.setdefault(name, []).append(finding)
        else:
            others.append(finding)
    return by_field, others


@cache
def start_job(name: str) -> Job | None:
    """Return the job of a starting design as it is, for its picture."""
    source, findings = read_design(STARTS[name].text.encode(), DESIGN)
    return work_out(source, read_shop(shop_text(SHOPS[0]).encode(), WORKSHOP), findings, 1, with_cutting=False)[0]


def shop_text(name: str) -> str:
    """Return the file of a workshop to begin with."""
    return _text(f"{name}.yaml")


@cache
def tubes(shop: str) -> tuple[str, ...]:
    """Return the round tubes of a workshop to begin with, as its stock names them."""
    read = read_shop(shop_text(shop).encode(), WORKSHOP)
    return () if read.shop is None else tuple(name for name in read.shop.stock if name.startswith("tube "))


@cache
def _text(file: str) -> str:
    inside = Path(str(package_files("handbarrow"))) / "starts"
    folder = inside if inside.is_dir() else Path(__file__).parents[3] / "examples"
    return (folder / file).read_text(encoding="utf-8")
