"""Answers: pages made from templates, values as JSON, and refusals as either."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote

import jinja2
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.types import Scope

from handbarrow.language import LANGUAGES, current
from handbarrow.sheets.codes import slug
from handbarrow.web.look import dress
from handbarrow.web.refusals import RefusedError
from handbarrow.web.words import PAGE
from handbarrow.web.words_client import CLIENT
from handbarrow.web.words_door import DOOR_WORDS

__all__ = ["HERE", "PAGE_LANGUAGES", "door", "json_answer", "page", "refused", "url"]

HERE = Path(__file__).parent
PAGE_LANGUAGES = ("en", "fr")
"""Languages that pages are written in; sheets know more."""


def url(*parts: str | int) -> str:
    """Return a path within the workbench; every part is one step, whatever signs it has.

    >>> url("p", "hut trailer", "part", "a/b")
    '/p/hut%20trailer/part/a%2Fb'
    """
    return "/" + "/".join(quote(str(part), safe="") for part in parts)


@cache
def _templates() -> jinja2.Environment:
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(HERE / "templates"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=jinja2.StrictUndefined,
    )
    environment.filters["put"] = lambda text, **values: text.format(**values)
    environment.filters["slug"] = slug
    environment.globals["url"] = url
    dress(environment)
    return environment


def page(name: str, scope: Scope, context: Mapping[str, Any], status: int = 200) -> HTMLResponse:
    """Return a page.

    Args:
        name: Of its template.
        scope: The request's.
        context: What the template needs. Every page has `w` (shared words), `token`, `lang`, `languages`, `path`, and
            `project` (name of the project, empty outside of one).
        status: HTTP status.
    """
    base = {
        "w": PAGE,
        "client": dict(CLIENT),
        "token": scope.get("handbarrow.token", ""),
        "lang": current(),
        "languages": {code: LANGUAGES[code] for code in PAGE_LANGUAGES},
        "path": str(scope["path"]),
        "project": "",
        "here": "",
    }
    text = _templates().get_template(name).render({**base, **context})
    return HTMLResponse(text, status_code=status)


class _Json(JSONResponse):
    """Numbers that are no numbers are a fault of ours, never sent."""

    def render(self, content: Any) -> bytes:
        return json.dumps(content, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode(
            "utf-8", "replace"
        )


def json_answer(content: Any, status: int = 200) -> Response:
    """Return plain values."""
    return _Json(content, status_code=status)


def refused(fault: RefusedError, path: str, accept: str, scope: Scope) -> Response:
    """Return a refusal: JSON for programs, a page for people."""
    from handbarrow.web.view import finding_record

    findings = [finding_record(finding) for finding in fault.findings]
    if path.startswith("/api/") or accept.startswith("application/json"):
        return json_answer({"findings": findings, **fault.more}, fault.status)
    return page("refused.html", scope, {"findings": findings}, fault.status)


def door(status: int, scope: Scope) -> Response:
    """Return the page at which a device gives the code."""
    return page("door.html", scope, {"d": DOOR_WORDS, "status": status}, status)
