"""The workshop's page: its file as forms, test bends, price lists. It works without scripts."""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterable, Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import RedirectResponse, Response

from handbarrow.findings import Finding
from handbarrow.web import refusals
from handbarrow.web.answers import page, url
from handbarrow.web.bench import bench_of
from handbarrow.web.calibrate import law_of
from handbarrow.web.forms import Sent, SentForm
from handbarrow.web.price_list import PriceList, read_rows, taken_from
from handbarrow.web.project import Note, Project, State
from handbarrow.web.shop_edit import Edited, edit_shop, shop_data
from handbarrow.web.shop_fields import Block, at, blocks, name_of, where_of
from handbarrow.web.titles import design_name
from handbarrow.web.versions import Content
from handbarrow.web.view import finding_record
from handbarrow.web.words_shop import ANSWERS, SHOP, SLOT_SAYS, SLOTS

__all__ = ["router"]

router = APIRouter(prefix="/p/{project}/workshop", include_in_schema=False)
Json = dict[str, Any]
NUMBERS = 2**53


@router.get("")
def workshop(
    request: Request, project: str, saved: Annotated[str, Query(max_length=120)] = "", count: int = 0
) -> Response:
    """The workshop file as forms."""
    found, now = bench_of(request).open(project)
    return _page(request, found, now, saved=saved, count=count)


def _page(
    request: Request,
    found: Project,
    now: State,
    *,
    sent: Mapping[str, str] | None = None,
    findings: Iterable[Finding] = (),
    saved: str = "",
    count: int = 0,
) -> Response:
    data = shop_data(_text(now))
    standing = bench_of(request).model.shop(now).findings
    told: dict[str, list[Json]] = {}
    for finding in (*findings, *(standing if sent is None else ())):
        told.setdefault(finding.where, []).append(finding_record(finding))
    made = list(blocks(data)) if isinstance(data, Mapping) else []
    shown = {slot.where for block in made for slot in _slots(block)}
    context = {
        "s": SHOP,
        "slots": SLOTS,
        "says": SLOT_SAYS,
        "answers": ANSWERS,
        "project": found.name,
        "here": "workshop",
        "design_name": design_name(now),
        "name": at(data, ("name",)) or now.workshop_file,
        "file": now.workshop_file,
        "number": now.number,
        "blocks": made,
        "sent": sent or {},
        "told": told,
        "others": [one for where, list_ in told.items() if where not in shown for one in list_],
        "failed": sent is not None,
        "saved": saved,
        "count": count,
        "name_of": name_of,
        "all_where": lambda block: {slot.where for slot in _slots(block)},
        "data": data,
        "at": at,
        "stocks": list(at(data, ("stock",)) or ()),
    }
    return page("workshop.html", request.scope, context, 422 if sent is not None else 200)


def _slots(block: Block) -> Iterable[Any]:
    yield from block.slots
    for table in block.tables:
        for _, _, slots in table.rows:
            yield from slots
        yield from table.fresh


def _text(state: State) -> str:
    return state.content.workshop.decode("utf-8", "replace")


@router.post("")
def save(request: Request, project: str, sent: Sent) -> Response:
    """Save what was changed in one block; what cannot be so is told beside its field and nothing is written."""
    found, now = bench_of(request).open(project)
    edited = _edited(found, now, sent, sent.texts)
    if edited.findings:
        return _page(request, found, now, sent=sent.texts, findings=edited.findings)
    return _saved(request, found, now, edited, sent.text("block"))


def _edited(found: Project, now: State, sent: SentForm, given: Mapping[str, str]) -> Edited:
    base = sent.number("base", 0, NUMBERS)
    seen = found.at(base) if base is not None and base != now.number else now
    if seen is None:
        raise refusals.no_such_version(base or 0)
    return edit_shop(_text(now), _text(seen), given, now.workshop_file)


def _saved(request: Request, found: Project, now: State, edited: Edited, block: str) -> Response:
    """Write the file if it was changed, and go back to the block."""
    bench = bench_of(request)
    if edited.text != _text(now):
        content = Content(now.content.design, edited.text.encode("utf-8"))
        title = SHOP[block] if block in SHOP else block.partition("stock-")[2] or block
        after = found.save(now, content, Note("shop", {"where": title[:80]}))
        bench.hub.changed(found.name, after.number, "")
    query = f"?saved={_quoted(block)}&count={edited.count}"
    return RedirectResponse(f"{url('p', found.name, 'workshop')}{query}#{_quoted(block)}", status_code=303)


def _quoted(text: str) -> str:
    return url(text)[1:]


@router.post("/law")
def law(request: Request, project: str, sent: Sent) -> Response:
    """Work the set-angle law of a die out from test bends, and save it."""
    found, now = bench_of(request).open(project)
    die = sent.number("die", 0, 1000)
    if die is None or at(shop_data(_text(now)), ("dies", die)) is None:
        raise refusals.request_unclear("die")
    path = ("dies", die, "set angle")
    fitted = law_of(sent.texts.get("bends", ""), where_of(("dies", die, "test bends")))
    if isinstance(fitted, Finding):
        return _page(request, found, now, sent=sent.texts, findings=[fitted])
    today = datetime.date.today().isoformat()
    values = {"a": fitted.a, "b": fitted.b, "test bends": str(fitted.bends), "date": today}
    given = {f"v:{name_of((*path, key))}": value for key, value in values.items()}
    edited = _edited(found, now, sent, given)
    if edited.findings:
        return _page(request, found, now, sent=sent.texts, findings=edited.findings)
    return _saved(request, found, now, edited, f"die-{die}")


# ------------------------------------------------------------------------------------------------ price lists
@router.post("/prices")
def look_at_prices(request: Request, project: str, sent: Sent) -> Response:
    """Show what a price list would change; nothing is written yet."""
    found, now = bench_of(request).open(project)
    name, content = sent.files.get("list", ("", b""))
    rows, data = read_rows(name, content), shop_data(_text(now))
    if data is None:
        bench_of(request).model.refuse_broken(now, of="workshop")
    offered = rows if isinstance(rows, Finding) else taken_from(rows, data)
    if not isinstance(offered, PriceList):
        return _page(request, found, now, sent={}, findings=[offered])
    lines = [
        {"item": one.item, "was": one.was, "now": one.now,
         "value": json.dumps([[name_of(one.path), one.now], *([name_of(p), v] for p, v in one.more)])}
        for one in offered.offers
    ]  # fmt: skip
    context = {
        "s": SHOP, "project": found.name, "here": "workshop", "design_name": design_name(now), "number": now.number,
        "lines": lines,
        "left": offered.left, "same": offered.same, "name": at(data, ("name",)) or "",
    }  # fmt: skip
    return page("prices.html", request.scope, context)


@router.post("/prices/take")
def take_prices(request: Request, project: str, sent: Sent) -> Response:
    """Write the prices that were ticked."""
    found, now = bench_of(request).open(project)
    given: dict[str, str] = {}
    for line in sent.every.get("take", ()):
        given |= _pairs(line)
    edited = _edited(found, now, sent, given)
    if edited.findings:
        return _page(request, found, now, sent={}, findings=edited.findings)
    return _saved(request, found, now, edited, "prices")


def _pairs(line: str) -> dict[str, str]:
    """Fields of a ticked line.

    Raises:
        RefusedError: If it is none that the page made.
    """
    try:
        pairs = json.loads(line)
        return {f"v:{path}": value for path, value in pairs if isinstance(path, str) and isinstance(value, str)}
    except (ValueError, TypeError) as fault:
        raise refusals.request_unclear("take") from fault
