"""The workshop's page: its forms write the file as a careful person would, or nothing. Expectations: closed form."""

from __future__ import annotations

import html
import io
import math
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import openpyxl
import pytest
import xlsxwriter

from desk import HERE, Desk, project_folder
from handbarrow.findings import Finding
from handbarrow.web.calibrate import Law, law_of
from handbarrow.web.price_list import PriceList, amount, read_rows, taken_from
from handbarrow.web.shop_edit import edit_shop, shop_data
from handbarrow.web.shop_fields import name_of, path_of, where_of

TUBE = "stock/tube%2026.9x2.3"


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    project_folder(tmp_path)
    with Desk(tmp_path) as out:
        yield out


def file_of(desk: Desk) -> str:
    return (desk.root / "cart" / "workshop.yaml").read_text()


def save(desk: Desk, base: int = 1, **fields: str) -> Any:
    data = {"token": desk.token, "base": str(base), "block": "prices", **fields}
    return desk.client.post("/p/cart/workshop", data=data, headers={"origin": HERE}, follow_redirects=False)


def told(page: str, field: str) -> str:
    """What stands beside a field."""
    start = page.index(f'name="{html.escape(field)}"')
    after = page[start : start + 2500]
    beside = re.search(r'<div class="finding beside error">(.*?)</dl>', after, re.DOTALL)
    return html.unescape(re.sub(r"<[^>]+>", " ", beside[1])) if beside else ""


# ------------------------------------------------------------------------------------------------ values
def test_a_price_is_written_in_its_place_and_nothing_else_changes(desk: Desk) -> None:
    before = file_of(desk)
    assert "{length: 6000, price: 23.40}" in before
    answer = save(desk, **{f"v:{TUBE}/lengths/#0/price": "24.10", f"v:{TUBE}/supplier": "Valley steel"})
    assert answer.status_code == 303
    assert file_of(desk) == before.replace("{length: 6000, price: 23.40}", "{length: 6000, price: 24.10}", 1)
    assert "workshop:" in desk.get("/p/cart/versions").text


def test_fields_that_were_not_touched_write_nothing(desk: Desk) -> None:
    before = file_of(desk)
    page = desk.get("/p/cart/workshop").text
    fields = re.findall(r'<input type="text" id="[^"]*" name="([^"]*)" value="([^"]*)"', page)
    assert len(fields) > 100
    sent = {html.unescape(name): html.unescape(value) for name, value in fields}
    assert save(desk, **sent).status_code == 303
    assert file_of(desk) == before
    assert desk.state()["number"] == 1


def test_a_value_that_cannot_be_so_is_told_beside_its_field_and_nothing_is_written(desk: Desk) -> None:
    before = file_of(desk)
    for field, value, says in (
        (f"v:{TUBE}/lengths/#0/price", "-2", "too small"),
        (f"v:{TUBE}/lengths/#1/length", "long", "no number"),
        ("v:dies/#0/radius", "3", "too small"),
        ("v:dies/#0/name", "", "left empty"),
        ("v:prices/wheel%2047-406/price", "", "left empty"),
        ("v:saw/kerf", "90", "too large"),
        ("v:dies/#0/stretch", "much", "does not say"),
    ):
        answer = save(desk, **{field: value, "v:currency": "CHF"})
        assert answer.status_code == 422, field
        assert says in told(answer.text, field), field
        assert f'value="{html.escape(value)}"' in answer.text
        assert 'value="CHF"' in answer.text, "what else was typed stays"
    assert file_of(desk) == before


def test_new_entries_come_at_the_end_and_comments_stay(desk: Desk) -> None:
    before = file_of(desk)
    first = before.splitlines()[0]
    assert first.startswith("#")
    save(desk, **{f"n:{TUBE}/lengths/#2/length": "2000", f"n:{TUBE}/lengths/#2/price": "9.80"})
    save(desk, base=2, **{f"n:{TUBE}/off-cuts/#2/length": "31 in"})
    save(desk, base=3, **{"n:prices//name": "Bell 60", "n:prices//price": "3.20", "n:prices//mass": "0.11 kg"})
    save(desk, base=4, **{"n:stock//name": "flat 30x5", "n:stock//length": "6000", "n:stock//price": "11"})
    many = len(shop_data(before)["dies"])
    new = {"name": "D33 second", "for": "tube 33.7x2.6", "radius": "140"}
    save(desk, base=5, **{f"n:dies/#{many}/{key}": value for key, value in new.items()})
    text = file_of(desk)
    data = shop_data(text)
    assert data["stock"]["tube 26.9x2.3"]["lengths"][2] == {"length": "2000", "price": "9.80"}
    assert data["stock"]["tube 26.9x2.3"]["off-cuts"][2] == {"length": "31 in"}
    assert data["prices"]["Bell 60"] == {"price": "3.20", "mass": "0.11 kg"}
    assert data["stock"]["flat 30x5"] == {"lengths": [{"length": "6000", "price": "11"}]}
    assert data["dies"][many] == new
    assert text.splitlines()[0] == first
    assert [line for line in before.splitlines() if "#" in line] == [line for line in text.splitlines() if "#" in line]


def test_a_name_that_stands_there_already_is_not_written_over(desk: Desk) -> None:
    before = file_of(desk)
    answer = save(desk, **{"n:prices//name": "wheel 47-406", "n:prices//price": "1"})
    assert answer.status_code == 422
    assert "stands here already" in told(answer.text, "n:prices//name")
    assert save(desk, **{"n:prices//price": "1"}).status_code == 422, "an entry without a name"
    assert file_of(desk) == before


def test_an_entry_is_taken_out(desk: Desk) -> None:
    count = len(shop_data(file_of(desk))["stock"]["tube 26.9x2.3"]["off-cuts"])
    save(desk, remove=f"{TUBE}/off-cuts/#0")
    assert len(shop_data(file_of(desk))["stock"]["tube 26.9x2.3"]["off-cuts"]) == count - 1
    save(desk, base=2, remove="dies/#0")
    assert "D27" not in [die["name"] for die in shop_data(file_of(desk))["dies"]]
    assert save(desk, base=3, remove="stock").status_code == 422
    assert save(desk, base=3, remove="").status_code == 303


def test_an_optional_value_that_is_emptied_goes_out_with_its_empty_map(desk: Desk) -> None:
    text = file_of(desk)
    assert "test piece" in shop_data(text)["dies"][0]
    out = edit_shop(text, text, {"v:dies/#0/test piece/length": "", "v:dies/#0/test piece/count": ""}, "w.yaml")
    assert out.findings == []
    assert "test piece" not in shop_data(out.text)["dies"][0]


def test_what_somebody_else_changed_meanwhile_is_asked_about_never_written_over(desk: Desk) -> None:
    field = f"v:{TUBE}/lengths/#0/price"
    assert save(desk, base=1, **{field: "25"}).status_code == 303
    answer = save(desk, base=1, **{field: "26", "v:currency": "CHF"})
    assert answer.status_code == 422
    assert "'26'" in told(answer.text, field) and "'25'" in told(answer.text, field)
    assert shop_data(file_of(desk))["currency"] == "EUR"
    assert save(desk, base=1, **{"v:currency": "CHF"}).status_code == 303, "another value is nobody's quarrel"
    assert "price: 25}" in file_of(desk) and "currency: CHF" in file_of(desk)


def test_rows_that_moved_meanwhile_are_not_mistaken_for_others(desk: Desk) -> None:
    assert save(desk, base=1, remove=f"{TUBE}/lengths/#0").status_code == 303
    after = file_of(desk)
    answer = save(desk, base=1, **{f"v:{TUBE}/lengths/#1/price": "1"})
    assert answer.status_code == 422
    assert file_of(desk) == after
    assert save(desk, base=1, remove=f"{TUBE}/lengths/#1").status_code == 422


@pytest.mark.parametrize(
    "name",
    ["v:../../etc", "v:handbarrow", "v:", "v:stock", "v:dies/#0", "v:dies/#99/name", "v:stock/x/lengths/#0/price",
     "n:handbarrow/x/y", "n:a/b", "v:dies/#0/name/deeper/and/deeper/still"],
)  # fmt: skip
def test_fields_that_the_page_does_not_have_write_nothing(desk: Desk, name: str) -> None:
    before = file_of(desk)
    assert save(desk, **{name: "handbarrow"}).status_code in (303, 422)
    assert file_of(desk) == before


def test_signs_that_do_not_print_and_texts_without_end_are_refused(desk: Desk) -> None:
    before = file_of(desk)
    for value in ("a\nb: c", "x" * 401, "a\x00b", "\ud800"):
        text = {"v:name": value.encode("utf-8", "surrogatepass").decode("utf-8", "replace")}
        assert save(desk, **text).status_code in (303, 422)
    data = shop_data(file_of(desk))
    assert set(data) == set(shop_data(before))


def test_a_path_is_a_name_and_back() -> None:
    for path in (("stock", "tube 26.9x2.3", "lengths", 3, "price"), ("prices", "a/b #1%", "price"), ("name",)):
        assert path_of(name_of(path)) == path
    assert where_of(("dies", 2, "set angle", "a")) == "dies[2].set angle.a"


# ------------------------------------------------------------------------------------------------ test bends
def test_bends_on_a_line_give_that_line(desk: Desk) -> None:
    a, b = 0.98, 0.75
    bends = "\n".join(f"{set_angle} {a * set_angle - b:.3f}" for set_angle in (20, 45, 70, 95))
    found = law_of(bends, "dies[0]")
    assert isinstance(found, Law)
    assert (found.a, found.b, found.bends, found.scatter) == ("0.98", "0.75", 4, "0")
    data = {"token": desk.token, "base": "1", "block": "die-0", "die": "0", "bends": bends}
    answer = desk.client.post("/p/cart/workshop/law", data=data, headers={"origin": HERE}, follow_redirects=False)
    assert answer.status_code == 303
    law = shop_data(file_of(desk))["dies"][0]["set angle"]
    assert (law["a"], law["b"], law["test bends"]) == ("0.98", "0.75", "4")


def test_bends_that_tell_no_law_are_told_and_kept_in_the_field(desk: Desk) -> None:
    before = file_of(desk)
    for bends in ("92", "92 ninety", "", "90 88", "90 88\n90 88.2", "-5 3\n7 8", "400 90\n1 2"):
        assert isinstance(law_of(bends, "dies[0]"), Finding), bends
    data = {"token": desk.token, "base": "1", "block": "die-0", "die": "0", "bends": "92 ninety"}
    answer = desk.client.post("/p/cart/workshop/law", data=data, headers={"origin": HERE})
    assert answer.status_code == 422
    assert "92 ninety</textarea>" in answer.text and "'92 ninety' is no test bend" in html.unescape(answer.text)
    assert file_of(desk) == before


def test_scatter_of_one_bend_is_what_is_left_over_with_two_fewer() -> None:
    found = law_of("0.1 1.1\n10.1 9.1\n20.1 21.1\n30.1 29.1", "x")
    assert isinstance(found, Law)
    # Residuals from the line y = x are 1, -1, 1, -1; the best line has slope 0.96 and leaves sqrt(3.2 / 2).
    assert float(found.a) == pytest.approx(0.96, abs=1e-4)
    assert float(found.scatter) == pytest.approx(math.sqrt(3.2 / 2), abs=0.006)


# ------------------------------------------------------------------------------------------------ price lists
ROWS = [
    ["Spring list", "", "", ""],
    ["Item", "Length (mm)", "Price", "Supplier"],
    ["Tube 26.9 x 2.3", "6000", "24,10", "Valley steel"],
    ["tube 26.9x2.3", "3000", "13.20", "Valley steel"],
    ["tube 99x2", "6000", "80", "Valley steel"],
    ["tube 26.9x2.3", "4500", "19", ""],
    ["plate 5", "", "2,05 EUR", ""],
    ["wheel 47 - 406", "", "25.00", ""],
    ["Bell 60", "", "3.20", "Lower town cycles"],
    ["red reflector 80", "", "on request", ""],
]


def as_csv(rows: list[list[str]], between: str = ";") -> bytes:
    return "\r\n".join(between.join(row) for row in rows).encode("utf-8-sig")


def as_xlsx(rows: list[list[str]]) -> bytes:
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        sheet = book.add_worksheet()
        for i, row in enumerate(rows):
            for k, cell in enumerate(row):
                sheet.write(i, k, float(cell) if re.fullmatch(r"[0-9.]+", cell) else cell)
    return out.getvalue()


def as_openpyxl(rows: list[list[str]]) -> bytes:
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append([cell or None for cell in row])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


@pytest.mark.parametrize("write", [as_csv, as_xlsx, as_openpyxl])
def test_a_price_list_is_read_alike_from_csv_and_from_workbooks_of_two_programs(desk: Desk, write: Any) -> None:
    rows = read_rows("list", write(ROWS))
    assert isinstance(rows, list)
    found = taken_from(rows, shop_data(file_of(desk)))
    assert isinstance(found, PriceList)
    offers = {where_of(offer.path): (offer.was, float(offer.now)) for offer in found.offers}
    assert offers == {
        "stock.tube 26.9x2.3.lengths[0].price": ("23.40", 24.10),
        "stock.plate 5.price per kg": ("1.90", 2.05),
        "prices.wheel 47-406.price": ("24.50", 25.0),
        "prices.Bell 60.price": ("", 3.2),
    }
    assert found.same == 1
    assert [item for item, _ in found.left] == ["tube 99x2", "tube 26.9x2.3", "red reflector 80"]


def test_a_price_list_writes_only_what_was_ticked(desk: Desk) -> None:
    before = file_of(desk)
    files = {"list": ("list.csv", as_csv(ROWS))}
    data = {"token": desk.token, "base": "1", "block": "prices"}
    page = desk.client.post("/p/cart/workshop/prices", data=data, files=files, headers={"origin": HERE}).text
    assert file_of(desk) == before, "nothing is written by looking"
    lines = [html.unescape(v) for v in re.findall(r'name="take" value="([^"]*)"', page)]
    assert len(lines) == 4
    take = {"token": desk.token, "base": "1", "take": [lines[0], lines[3]]}
    answer = desk.client.post(
        "/p/cart/workshop/prices/take", data=take, headers={"origin": HERE}, follow_redirects=False
    )
    assert answer.status_code == 303
    data = shop_data(file_of(desk))
    assert data["stock"]["tube 26.9x2.3"]["lengths"][0]["price"] == "24.10"
    assert data["stock"]["plate 5"]["price per kg"] == "1.90"
    assert data["prices"]["Bell 60"] == {"price": "3.20", "supplier": "Lower town cycles"}


def test_lists_that_are_none_are_told(desk: Desk) -> None:
    bomb = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaa">]><x>&a;</x>'
    hostile = io.BytesIO()
    import zipfile

    with zipfile.ZipFile(hostile, "w") as book:
        book.writestr("xl/worksheets/sheet1.xml", bomb)
    for content in (b"", b"PK\x03\x04broken", as_csv([["a", "b"], ["c", "d"]]), hostile.getvalue(), b"\x00\xff" * 99):
        files = {"list": ("list.csv", content)}
        data = {"token": desk.token, "base": "1", "block": "prices"}
        answer = desk.client.post("/p/cart/workshop/prices", data=data, files=files, headers={"origin": HERE})
        assert answer.status_code == 422, content[:20]
        assert 'class="finding error"' in answer.text


def test_an_amount_that_can_be_read_in_two_ways_is_left_to_a_person() -> None:
    assert [amount(text) for text in ("12", "12.5", "12,50", "EUR 7.00", "1’200.00".replace("’", "'"))] == [
        "12", "12.5", "12.50", "7.00", "1200.00",
    ]  # fmt: skip
    assert [amount(text) for text in ("1.234", "1,234", "-3", "", "1..2", "12.5.1", "on request")] == [None] * 7


@pytest.mark.parametrize("path", ["", "/law", "/prices", "/prices/take"])
def test_a_workshop_file_that_an_editor_broke_is_told_by_every_form(desk: Desk, path: str) -> None:
    file = desk.root / "cart/workshop.yaml"
    file.write_text("handbarrow: workshop\nstock: [\n")
    before = file.read_bytes()
    files = {"list": ("list.csv", b"item,price\ntube 30x2,9\n")} if path == "/prices" else None
    data = {
        "token": desk.token,
        "base": "1",
        "die": "0",
        "bends": "90 88",
        "v:name": "Anvil",
        "take": '[["name", "x"]]',
    }
    answer = desk.client.post(f"/p/cart/workshop{path}", data=data, files=files, headers={"origin": HERE})
    assert answer.status_code == 422
    assert file.read_bytes() == before
