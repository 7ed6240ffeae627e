"""The workbench acts only for its own pages, on its own files. Expectations: closed form."""

from __future__ import annotations

import json
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from starlette.websockets import WebSocketDisconnect

from desk import HERE, HOST, Desk, project_folder
from handbarrow.web.pairing import TRIES, WAIT, Pairing, Share
from handbarrow.web.security import MOST_BODY, Keeper

CHANGE = {"base": 1, "name": "bed_width", "text": "650", "client": "x"}


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    project_folder(tmp_path)
    with Desk(tmp_path) as out:
        yield out


def refused(answer: Any, status: int, code: str) -> None:
    assert answer.status_code == status, answer.text
    assert [finding["code"] for finding in answer.json()["findings"]] == [code]


def untouched(desk: Desk) -> None:
    assert "650" not in (desk.root / "cart" / "design.yaml").read_text()


# ------------------------------------------------------------------------------------------------ who asks
@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "evil.example:8420",
        "127.0.0.1.evil.example",
        "",
        "192.168.1.7:8420",
        "[::2]",
        "localhost:8; script-src *",
    ],
)
def test_a_foreign_host_is_refused_before_anything_is_read(desk: Desk, host: str) -> None:
    refused(desk.get("/api/p/cart/state", headers={"host": host}), 400, "not-from-here")


@pytest.mark.parametrize("host", ["127.0.0.1:8420", "localhost:9", "LOCALHOST", "[::1]:8420"])
def test_this_computers_own_names_are_good(desk: Desk, host: str) -> None:
    assert desk.get("/api/p/cart/state", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "origin",
    [
        "http://evil.example",
        "null",
        "http://127.0.0.1:9999",
        "http://localhost:8420",
        "http://127.0.0.1:8420.evil.example",
        "",
    ],
)
def test_a_page_of_another_site_cannot_act(desk: Desk, origin: str) -> None:
    answer = desk.client.post("/api/p/cart/size", json=CHANGE, headers={**desk.headers, "origin": origin})
    refused(answer, 403, "not-from-here")
    untouched(desk)


@pytest.mark.parametrize("site", ["cross-site", "same-site", "none"])
def test_without_an_origin_the_browser_must_not_say_that_it_came_from_elsewhere(desk: Desk, site: str) -> None:
    headers = {"x-handbarrow-token": desk.token, "sec-fetch-site": site}
    refused(desk.client.post("/api/p/cart/size", json=CHANGE, headers=headers), 403, "not-from-here")


@pytest.mark.parametrize("token", ["", "0" * 64, "é", "x" * 5000])
def test_a_forged_form_is_refused(desk: Desk, token: str) -> None:
    data = {"token": token, "base": "1", "name": "bed_width", "text": "650"}
    for kind in ({"data": data}, {"files": {key: (None, value) for key, value in data.items()}}):
        answer = desk.client.post("/p/cart/size", headers={"origin": HERE, "accept": "application/json"}, **kind)
        refused(answer, 403, "not-from-here")
    header = {"x-handbarrow-token": token.encode("utf-8")[:200]}
    refused(desk.client.post("/api/p/cart/size", json=CHANGE, headers={"origin": HERE, **header}), 403, "not-from-here")
    untouched(desk)


def test_the_token_of_another_browser_is_of_no_use(tmp_path: Path) -> None:
    project_folder(tmp_path)
    with Desk(tmp_path) as one, Desk(tmp_path) as other:
        assert one.token != other.token
        answer = other.client.post("/api/p/cart/size", json=CHANGE, headers={**one.headers})
        refused(answer, 403, "not-from-here")


def test_an_open_page_stays_good_when_the_program_is_started_again(tmp_path: Path) -> None:
    project_folder(tmp_path)
    with Desk(tmp_path) as before:
        cookies = dict(before.client.cookies)
    with Desk(tmp_path) as after:
        after.client.cookies.clear()
        after.client.cookies.update(cookies)
        assert after.client.post("/api/p/cart/size", json=CHANGE, headers=before.headers).status_code == 200
    assert ((tmp_path / ".handbarrow" / "secret").stat().st_mode & 0o077) == 0, "nobody else reads the secret"


def test_a_seal_for_one_purpose_is_none_for_another(tmp_path: Path) -> None:
    keeper = Keeper(tmp_path)
    assert keeper.holds("token", "x", keeper.seal("token", "x"))
    assert not keeper.holds("paired", "x", keeper.seal("token", "x"))


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "", None])
def test_a_foreign_page_cannot_listen(desk: Desk, origin: str | None) -> None:
    headers = {"host": HOST} if origin is None else {"host": HOST, "origin": origin}
    with pytest.raises(WebSocketDisconnect), desk.client.websocket_connect("/ws/p/cart", headers=headers):
        pass


def test_listening_to_no_project_is_refused(desk: Desk) -> None:
    headers = {"host": HOST, "origin": HERE}
    with pytest.raises(WebSocketDisconnect), desk.client.websocket_connect("/ws/p/nothing", headers=headers):
        pass


# ------------------------------------------------------------------------------------------------ how much
def test_more_than_the_limit_is_refused_whatever_its_header_says(desk: Desk) -> None:
    answer = desk.client.post("/api/p/cart/size", content=b" " * (MOST_BODY + 1), headers=desk.headers)
    refused(answer, 413, "too-large")

    def pieces() -> Iterator[bytes]:
        for _ in range(1000):
            yield b" " * 100_000

    refused(desk.client.post("/api/p/cart/size", content=pieces(), headers=desk.headers), 413, "too-large")


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b"\xff\xfe",
        b'{"base": NaN, "name": "bed_width", "text": "650"}',
        b'{"base": 1e400, "name": "bed_width", "text": "650"}',
        b'{"base": -1, "name": "bed_width", "text": "650"}',
        b'{"base": 1, "name": "bed_width", "text": "\\ud800"}',
        b'{"base": 1, "name": "bed_width", "text": "6\\u000050"}',
        b'{"base": 1, "name": {"a": 1}, "text": "650"}',
        b"[" * 100_000,
        b'{"base": ' + b"9" * 5000 + b', "name": "bed_width", "text": "650"}',
    ],
)
def test_a_malformed_call_is_refused_with_findings(desk: Desk, body: bytes) -> None:
    answer = desk.client.post(
        "/api/p/cart/size", content=body, headers={**desk.headers, "content-type": "application/json"}
    )
    assert 400 <= answer.status_code < 500
    assert answer.json()["findings"]
    untouched(desk)


TOKEN_PART = b'--x\r\nContent-Disposition: form-data; name="token"\r\n\r\nTOKEN\r\n--x\r\n'


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("multipart/form-data; boundary=x", TOKEN_PART + b"broken"),
        ("multipart/form-data", b"--x\r\n"),
        ("multipart/form-data; boundary=" + "y" * 300, b"--y"),
        ("application/x-www-form-urlencoded", b"token=TOKEN&base=1&" + b"a&" * 20_000),
        ("application/x-www-form-urlencoded", b"token=TOKEN&base=one&name=bed_width&text=650"),
        ("text/plain", b"token=TOKEN&base=1&name=bed_width&text=650"),
    ],
)
def test_a_malformed_form_is_refused(desk: Desk, kind: str, body: bytes) -> None:
    answer = desk.client.post(
        "/p/cart/size",
        content=body.replace(b"TOKEN", desk.token.encode()),
        headers={"origin": HERE, "content-type": kind, "accept": "application/json"},
    )
    assert 400 <= answer.status_code < 500
    assert answer.json()["findings"]
    untouched(desk)


# ------------------------------------------------------------------------------------------------ which files
TRICKS = [
    "../design.yaml",
    "..%2fdesign.yaml",
    "%2e%2e/design.yaml",
    "..\\design.yaml",
    "%2fetc%2fpasswd",
    "//etc/passwd",
    "secret%00.pdf",
    "files.txt",
    "pack-link.pdf",
    "pack-..%2f..%2fx.pdf",
    "drawings/../../design.yaml",
    "earlier",
    ".",
    "",
    "a" * 499,
]


@pytest.mark.parametrize("name", TRICKS)
def test_no_name_leads_out_of_the_folder_of_sheets(desk: Desk, name: str) -> None:
    sheets = desk.root / "cart" / "sheets"
    sheets.mkdir()
    (sheets / "pack-link.pdf").symlink_to(desk.root / "cart" / "design.yaml")
    digest = "0" * 64
    names = ("../design.yaml", "/etc/passwd", "drawings/../../design.yaml", "..\\design.yaml")
    (sheets / "files.txt").write_text("".join(f"{digest}  {one}\n" for one in names))
    answer = desk.get(f"/api/p/cart/files/{name}")
    assert answer.status_code in (200, 307, 404)
    assert b"handbarrow" not in answer.content[:200] and b"root:" not in answer.content


@pytest.mark.parametrize(
    "name", ["..", "..%2fcart", "%2e%2e%2fcart", "cart%2f..%2fcart", ".handbarrow", "cart%00", "%ff"]
)
def test_no_name_of_a_project_leads_elsewhere(tmp_path: Path, name: str) -> None:
    project_folder(tmp_path, "beside")
    project_folder(tmp_path / "root")
    with Desk(tmp_path / "root") as desk:
        for path in (f"/api/p/{name}/state", f"/p/{name}/versions", f"/api/p/{name}%2fbeside/state"):
            assert desk.get(path).status_code == 404


# ------------------------------------------------------------------------------------------------ what pages hold
class Scripts(HTMLParser):
    """Finds what could act in a page."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        given = dict(attributes)
        if tag == "script" and not (given.get("src") or "").startswith("/static/"):
            self.found.append(f"script {given}")
        if tag in ("b", "iframe", "object", "embed", "base"):
            self.found.append(tag)
        self.found += [f"{tag} {name}" for name in given if name.startswith("on") or name == "style"]


EVIL = "<b onclick=alert(1)>\"'&hoop"


def test_html_in_names_stays_text_on_every_page(tmp_path: Path) -> None:
    folder = project_folder(tmp_path)
    path = folder / "design.yaml"
    text = path.read_text().replace("name: Market handcart", f"name: {json.dumps(EVIL)}")
    path.write_text(text.replace("outside to outside", "<script>alert(1)</script>").replace("frame-hoop", "<b>hoop"))
    shop = folder / "workshop.yaml"
    shop.write_text(shop.read_text().replace("name: Ridge workshop", f"name: {json.dumps(EVIL)}"))
    pages = [
        "/p/cart/",
        "/p/cart/versions",
        "/nowhere/<b>",
        "/p/<b>x/",
        "/",
        "/p/cart/workshop",
        "/p/cart/job",
        "/p/cart/bench",
    ]
    with Desk(tmp_path) as desk:
        for page in pages:
            answer = desk.get(page)
            assert answer.status_code < 500, page
            looked = Scripts()
            looked.feed(answer.text)
            assert looked.found == [], page


def test_every_answer_forbids_what_does_not_come_from_here(desk: Desk) -> None:
    for path in ("/p/cart/versions", "/api/p/cart/state", "/nowhere", "/static/mark.svg", "/api/p/cart/files/x"):
        headers = desk.get(path).headers
        policy = dict(rule.split(" ", 1) for rule in headers["content-security-policy"].split("; "))
        assert policy["default-src"] == "'self'" and policy["frame-ancestors"] == "'none'", path
        assert policy["object-src"] == "'none'" and policy["base-uri"] == "'none'"
        assert "unsafe" not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
    cookie = desk.client.get("/p/cart/versions", headers={"cookie": ""}).headers.get("set-cookie", "")
    assert "HttpOnly" in cookie and "SameSite=Strict" in cookie


# ------------------------------------------------------------------------------------------------ sharing
PHONE = "http://192.0.2.7:8420"
SHARE = Share(code="123456", hosts=("192.0.2.7", "hut.local"))


def test_another_device_gives_the_code_once(tmp_path: Path) -> None:
    project_folder(tmp_path)
    with Desk(tmp_path, share=SHARE, base=PHONE) as phone:
        assert phone.get("/api/p/cart/state").status_code == 401
        assert "cart" not in phone.get("/p/cart/versions").text.replace("/p/cart/", "")
        headers = {"host": "192.0.2.7:8420", "origin": PHONE}
        with pytest.raises(WebSocketDisconnect), phone.client.websocket_connect("/ws/p/cart", headers=headers):
            pass
        assert phone.client.post("/pair", data={"code": "123457"}, headers={"origin": PHONE}).status_code == 403
        given = phone.client.post("/pair", data={"code": "123 456"}, headers={"origin": PHONE}, follow_redirects=False)
        assert given.status_code == 303
        assert phone.get("/api/p/cart/state").status_code == 200
        refused(phone.client.post("/api/p/cart/size", json=CHANGE, headers={"origin": PHONE}), 403, "not-from-here")
    with Desk(tmp_path, share=Share(code="999999", hosts=SHARE.hosts), base=PHONE) as later:
        later.client.cookies.update(phone.client.cookies)
        assert later.get("/api/p/cart/state").status_code == 401, "a new code lets nobody in who has the old one"


def test_without_sharing_the_network_name_is_foreign(tmp_path: Path) -> None:
    project_folder(tmp_path)
    with Desk(tmp_path, base=PHONE) as phone:
        assert phone.get("/p/cart/versions").status_code == 400


def test_codes_cannot_be_tried_without_end(tmp_path: Path) -> None:
    moment = [0.0]
    pairing = Pairing(SHARE, Keeper(tmp_path), lambda: moment[0])

    def tried(code: str) -> int:
        scope = {"type": "http", "method": "POST", "path": "/pair"}
        answer = pairing.answer("/pair", "192.0.2.9", {}, f"code={code}".encode(), scope)
        assert answer is not None
        return answer.status_code

    assert [tried("000000") for _ in range(TRIES + 2)] == [403] * TRIES + [429] * 2
    assert tried(SHARE.code) == 429, "not even the right one, until the wait is over"
    moment[0] = WAIT + 1
    assert tried(SHARE.code) == 303


@pytest.mark.parametrize(
    ("address", "known"),
    [
        ("127.0.0.1", True),
        ("::1", True),
        ("::ffff:127.0.0.1", True),
        ("192.0.2.7", False),
        ("::ffff:192.0.2.7", False),
        ("", False),
    ],
)
def test_only_this_very_computer_needs_no_code(tmp_path: Path, address: str, known: bool) -> None:
    assert Pairing(SHARE, Keeper(tmp_path)).knows(address, {}) is known
