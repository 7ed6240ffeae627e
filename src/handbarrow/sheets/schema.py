"""The JSON Schema of the job data, and the reference page that is made from it.

Run `python -m handbarrow.sheets.schema > docs/reference/job-data.md` after a change of the schema.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

__all__ = ["job_schema", "reference_page", "schema_text"]

Json = dict[str, Any]

_INTRODUCTION = """# Job data

One JSON document holds every number of a batch: `handbarrow data DESIGN --workshop SHOP --units N` writes it, and the
pack, the tables and the drawings say nothing that is not in it. This page is made from the JSON Schema (2020-12) that
the program prints and that lies in the package as `handbarrow/sheets/jobdata.schema.json`.

A key marked *may be absent* is left out where it does not apply. Keys of features that do not exist yet (schedule,
cost, fabric panels) are absent altogether: a check that was not made is never shown as passed.
Numbers are rounded to 0.000001, the stations of mitre wraps to 0.0001 mm, transforms and crown directions to 1e-12.
"""


def job_schema() -> Json:
    """Return the JSON Schema (2020-12) of the document."""
    schema: Json = json.loads(schema_text())
    return schema


def schema_text() -> str:
    """Return the JSON Schema as text."""
    return files("handbarrow.sheets").joinpath("jobdata.schema.json").read_text(encoding="utf-8")


def reference_page(schema: Json) -> str:
    """Return docs/reference/job-data.md: a table for the document and one for each thing in it."""
    lines = [_INTRODUCTION, "## The document", "", schema["description"], ""]
    lines += _table(schema)
    for name, definition in schema["$defs"].items():
        lines += ["", f"## {name}", "", definition["description"]]
        if "properties" in definition:
            lines += ["", *_table(definition)]
    return "\n".join(lines) + "\n"


def _table(thing: Json) -> list[str]:
    return ["| key | type | meaning |", "|---|---|---|", *_rows(thing, "")]


def _rows(thing: Json, before: str) -> Iterator[str]:
    required = thing.get("required", ())
    for key, value in thing["properties"].items():
        absent = "" if key in required else " *May be absent.*"
        yield f"| `{before}{key}` | {_type(value)} | {value['description']}{absent} |"
        inner = value.get("items", value)
        if "properties" in inner:
            yield from _rows(inner, f"{before}{key}{'[]' if 'items' in value else ''}.")


def _type(value: Json) -> str:
    if "$ref" in value:
        name = value["$ref"].rsplit("/", 1)[1]
        return f"[{name}](#{name})"
    if "enum" in value:
        return ", ".join(f"`{one}`" for one in value["enum"])
    if "const" in value:
        return f"`{value['const']}`"
    if "anyOf" in value:
        return " or ".join(_type(one) for one in value["anyOf"])
    kind = value["type"]
    if kind == "array":
        return f"list of {_type(value['items'])}"
    if kind == "object" and isinstance(value.get("additionalProperties"), dict):
        return f"object of {_type(value['additionalProperties'])}"
    return " or ".join(kind) if isinstance(kind, list) else str(kind)


if __name__ == "__main__":
    sys.stdout.write(reference_page(job_schema()))
