"""The handcart's pack in every language: printed with all its signs, same sheets and numbers, no word left."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest

from handbarrow.job.values import Job
from handbarrow.language import LANGUAGES, speaking
from handbarrow.sheets.pack import write_pack
from handbarrow.sheets.pictures import pack_drawings
from handbarrow.sheets.tables import csv_files, workbook
from printed import DAY, example, pack, texts

OTHERS = [language for language in LANGUAGES if language != "en"]
CODE = re.compile(r"[+a-z][\w.+-]*/\d+/[0-9a-f]{6}/[0-9a-f]{6}/\w+")
DIGEST = re.compile(r"\b[0-9a-f]{8}\b")
LATIN = re.compile(r"[A-Za-z]{3,}")
EVERYWHERE = {"EUR", "HSE", "ISO", "MPa", "QR", "kPa", "pdf", "templates"}
KEYS = {"people", "lying", "ride"}
"""Keys of the design file that a sheet tells one to write."""


@cache
def _spoken(language: str) -> tuple[str, ...]:
    if language == "en":
        return texts(pack("handcart"))
    job = example("handcart")
    with speaking(language):
        return texts(write_pack(job, pack_drawings(job), DAY))


def _own_words(job: Job) -> set[str]:
    """Words of the two files: they are printed as they stand."""
    shop = job.workshop
    files = [job.design.name, job.design.about, job.design.digest, shop.name, shop.digest, *shop.stock]
    files += [word for item in shop.stock.values() for word in (item.supplier, item.steel)]
    files += [price.supplier for price in shop.prices.values()] + [die.name for die in shop.dies] + list(shop.prices)
    for part in job.design.parts:
        files += [part.id, part.title, part.note, str(part.shape)]
    for assembly in job.design.assemblies:
        files += [assembly.name, assembly.says, *(position.name for position in assembly.positions)]
    files += [one.by for one in (shop.consumables.welding, shop.consumables.paint) if one is not None]
    files += [*job.product.results, job.workshop.saw.name, str(job.design)]
    return {word for text in files for word in LATIN.findall(text)}


@pytest.mark.parametrize("language", OTHERS)
def test_sheets_have_the_same_codes_and_sizes_in_every_language(language: str) -> None:
    english, other = "\n".join(_spoken("en")), "\n".join(_spoken(language))
    assert set(CODE.findall(other)) == set(CODE.findall(english)) != set()
    sizes = re.compile(r"\b\d{2,4}\.\d\b")
    assert set(sizes.findall(other)) == set(sizes.findall(english))


def test_hindi_sheets_hold_no_latin_word_but_names() -> None:
    job = example("handcart")
    station = [DIGEST.sub("", page) for page in _spoken("hi")[1:] if "+findings" not in page]
    codes = {word for page in station for code in CODE.findall(page) for word in LATIN.findall(code)}
    left = {word for page in station for word in LATIN.findall(page)} - _own_words(job) - codes - EVERYWHERE - KEYS
    assert left == set()


def test_french_sheets_hold_no_english_sentence() -> None:
    english = {line for page in _spoken("en") for line in page.splitlines() if len(line.split()) >= 4}
    french = {line for page in _spoken("fr") for line in page.splitlines()}
    own = " ".join([example("handcart").design.about, *(part.note for part in example("handcart").design.parts)])
    both = {line for line in english & french if LATIN.search(line) and line.strip() not in own}
    names = _own_words(example("handcart")) | EVERYWHERE
    assert [line for line in both if not set(LATIN.findall(line)) <= names] == []


def test_the_workbook_speaks_and_the_csv_stays_for_programs() -> None:
    job = example("handcart")
    with speaking("fr"):
        french, lists = workbook(job, DAY), csv_files(job)
    assert french != workbook(job, DAY) and lists == csv_files(job)


def test_a_sign_that_no_font_has_stops_the_printing() -> None:
    job = example("handcart")
    design = replace(job.design, name="Cart \U0001f6d2")
    with pytest.raises(RuntimeError, match="cannot be printed"):
        write_pack(replace(job, design=design), pack_drawings(job), DAY)
