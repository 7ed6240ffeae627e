"""The product as a picture without part numbers, for pages that show no 3-D; kept once it is drawn."""

from __future__ import annotations

import contextlib
import hashlib
from pathlib import Path

from handbarrow import __version__
from handbarrow.drawings.product import product_view
from handbarrow.drawings.svg import svg
from handbarrow.job.values import Job
from handbarrow.sheets.whole import write_whole

__all__ = ["kept_picture", "picture"]

BOX = (180.0, 110.0)
"""Size of the picture [mm]."""


def picture(job: Job) -> bytes:
    """Return the product as an isometric view in SVG."""
    return svg(product_view(job, "isometric", BOX, numbers=False)).encode()


def kept_picture(root: Path, job: Job) -> bytes:
    """Return the picture, from the folder of kept ones if it was drawn before."""
    told = f"{__version__} {job.design.digest} {job.workshop.digest} {BOX}"
    path = root / ".handbarrow" / "pictures" / f"{hashlib.sha256(told.encode()).hexdigest()[:24]}.svg"
    with contextlib.suppress(OSError):
        return path.read_bytes()
    made = picture(job)
    with contextlib.suppress(OSError):  # a disk that is full only makes it slower the next time
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, made)
    return made
