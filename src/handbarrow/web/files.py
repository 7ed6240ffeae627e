"""Files of a project's sheets: only those that the list of the writing names, and only inside their folder."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from handbarrow.sheets.folder import listed_files
from handbarrow.web import refusals

__all__ = ["listed", "served"]

KINDS = {
    ".pdf": "application/pdf",
    ".svg": "image/svg+xml",
    ".dxf": "image/vnd.dxf",
    ".json": "application/json",
    ".csv": "text/csv; charset=utf-8",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    ".glb": "model/gltf-binary",
    ".step": "model/step",
    ".txt": "text/plain; charset=utf-8",
}


def listed(folder: Path) -> list[dict[str, Any]]:
    """Return what was written, in the order of the list: name, size, kind."""
    out = []
    for name in listed_files(folder):
        path = folder / name
        if not name.startswith("earlier/") and path.suffix in KINDS and path.is_file():
            out.append({"name": name, "bytes": path.stat().st_size, "kind": path.suffix[1:]})
    return out


def served(folder: Path, name: str) -> tuple[Path, str]:
    """Return the path and the media type of a file that may be handed out.

    Raises:
        RefusedError: If it is none of the written ones, whatever its name leads to.
    """
    known = name in listed_files(folder) or (name.startswith("pack-") and name.endswith(".pdf") and "/" not in name)
    path = folder / name
    if not known or "\x00" in name or path.suffix not in KINDS:
        raise refusals.no_such_file(name)
    if path.is_symlink() or not path.is_file() or not path.resolve().is_relative_to(folder.resolve()):
        raise refusals.no_such_file(name)
    return path, KINDS[path.suffix]
