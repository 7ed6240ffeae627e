"""Job data of earlier writings, kept in the folder so that it can be said what changed since a sheet was printed."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from handbarrow.job.values import Job
from handbarrow.sheets.codes import SheetCode
from handbarrow.sheets.verdict import matches

__all__ = ["EARLIER", "MOST_KEPT", "Kept", "found", "keep", "newest"]

EARLIER = "earlier"
"""Folder within the folder."""
DATA = "job.json"
MOST_KEPT = 20
NAME = re.compile(rf"{EARLIER}/[0-9a-f]+-[0-9a-f]+\.json")


@dataclass(frozen=True, slots=True)
class Kept:
    """What is kept, newest first: name -> digest of its bytes; `fresh` are to be written, the others lie there."""

    digests: Mapping[str, str]
    fresh: Mapping[str, bytes]


def keep(into: Path, listed: Mapping[str, str], job: Job) -> Kept:
    """Return what is to be kept when a job is written to a folder.

    Args:
        into: The folder.
        listed: What an earlier writing left there: name -> digest, older ones last. Files that were changed since
            are not kept: they are not what was printed.
        job: The job that will be written.
    """
    digests: dict[str, str] = {}
    fresh: dict[str, bytes] = {}
    written = _name(job.design.digest, job.workshop.digest)
    raw = _read(into, DATA, listed.get(DATA, ""))
    last = _parsed(raw)
    if raw is not None and last is not None:
        name = _name(last["design"]["digest"], last["workshop"]["digest"])
        if name != written and NAME.fullmatch(name):
            digests[name], fresh[name] = listed[DATA], raw
    for name, digest in listed.items():
        if NAME.fullmatch(name) and name not in (written, *digests) and _read(into, name, digest) is not None:
            digests[name] = digest
    names = list(digests)[:MOST_KEPT]
    return Kept({name: digests[name] for name in names}, {name: fresh[name] for name in names if name in fresh})


def found(into: Path, listed: Mapping[str, str], code: SheetCode) -> dict[str, Any] | None:
    """Return the job document that a sheet was printed from, None if it was not kept as it was written."""
    fitting = [document for document in _documents(into, listed) if matches(code, document)]
    return next((d for d in fitting if d["units"] == code.units), fitting[0] if fitting else None)


def newest(into: Path, listed: Mapping[str, str]) -> dict[str, Any] | None:
    """Return the job document that was written last, None if there is none."""
    return _parsed(_read(into, DATA, listed.get(DATA, "")))


def _documents(into: Path, listed: Mapping[str, str]) -> Iterator[dict[str, Any]]:
    for name, digest in listed.items():
        if name == DATA or NAME.fullmatch(name):
            document = _parsed(_read(into, name, digest))
            if document is not None:
                yield document


def _name(design: str, workshop: str) -> str:
    return f"{EARLIER}/{design}-{workshop}.json".lower()


def _read(into: Path, name: str, digest: str) -> bytes | None:
    """Return a file's bytes if they are as they were written."""
    try:
        raw = (into / name).read_bytes()
    except OSError:
        return None
    return raw if hashlib.sha256(raw).hexdigest() == digest else None


def _parsed(raw: bytes | None) -> dict[str, Any] | None:
    """Return a job document; None for anything else."""
    try:
        document = json.loads(raw or b"")
        if document["schema"] == 1 and document["design"]["digest"] and document["workshop"]["digest"]:
            return dict(document)
    except (ValueError, KeyError, TypeError):
        pass
    return None
