"""Files are written whole or not at all: power comes and goes."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

__all__ = ["clear_unfinished", "write_whole"]

UNFINISHED = ".writing-"


def write_whole(path: Path, content: bytes) -> None:
    """Write a file whole: to a temporary one beside it, seen onto the disk, then put in its place.

    Whoever reads the file finds the old content or the new, also after a power cut at any moment.

    Raises:
        OSError: If it cannot be written; what was there stays.
    """
    handle, name = tempfile.mkstemp(dir=path.parent or Path(), prefix=f".{path.name}{UNFINISHED}")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(0o644)
        Path(name).replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink()
        raise
    _see_folder_onto_disk(path.parent or Path())


def clear_unfinished(folder: Path) -> None:
    """Take away what writings that were cut off left in a folder; only while nobody writes there."""
    with contextlib.suppress(OSError):
        for path in [Path(entry.path) for entry in os.scandir(folder) if UNFINISHED in entry.name]:
            if path.name.startswith(".") and path.is_file():
                path.unlink()


def _see_folder_onto_disk(folder: Path) -> None:
    """The new name too; systems that cannot do this for folders do without."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
