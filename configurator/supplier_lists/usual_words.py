"""What the headings of price lists are called, and how much one speaks for a column of ours."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.files.part_columns import LEAD_TIME, PART_NUMBER, POSITION, PRICE, TITLE
from configurator.supplier_lists.headings import heading_parts

if TYPE_CHECKING:
    from collections.abc import Iterable

# Usual words over the common columns of price lists, English and German; common practice.
_USUAL = {
    PART_NUMBER: (
        "part number", "part no", "part", "article number", "article no", "art no", "art nr",
        "article", "item number", "item no", "item", "sku", "order code", "order no",
        "order number", "product code", "code", "number", "no", "artikelnummer", "artikel nr",
        "artikelnr", "teilenummer", "bestellnummer", "bestell nr",
    ),
    TITLE: (
        "title", "description", "designation", "name", "product", "product name", "bezeichnung",
        "beschreibung", "artikelbezeichnung", "titel", "text",
    ),
    PRICE: (
        "price", "retail price", "list price", "unit price", "price each", "sales price", "rrp",
        "recommended price", "preis", "listenpreis", "verkaufspreis", "vk", "vk preis",
        "einzelpreis", "uvp",
    ),
    "maker": ("maker", "make", "brand", "manufacturer", "marke", "hersteller"),
    LEAD_TIME: (
        "lead time", "delivery", "delivery time", "days", "lieferzeit", "lieferfrist",
    ),
    POSITION: ("position", "fits", "axle", "einbauort"),
    "note": ("note", "notes", "remark", "remarks", "comment", "bemerkung", "hinweis"),
    "mass": ("mass", "weight", "gewicht", "masse"),
}  # fmt: skip


def heading_words(attributes: Iterable[str]) -> frozenset[str]:
    """Collect the words that headings are made of, of attributes and of what all lists have."""
    texts = [*attributes, *(word for words in _USUAL.values() for word in words)]
    return frozenset(word for text in texts for word in text.casefold().split())


def likeness_of(heading: str, name: str) -> tuple[float, str]:
    """Say how much a heading speaks for a column, from 0 to 1, and in which words."""
    plain, _ = heading_parts(name)
    usual = (plain, *_USUAL.get(name, ()))
    if heading in (plain, name.casefold()):
        return 1.0, "the heading is its name"
    if heading in usual:
        return 0.95, "the heading is a usual word for it"
    words, own = set(heading.split()), set(plain.split())
    if own <= words:
        return 0.7, "its name is part of the heading"
    for item in sorted(usual[1:], key=len, reverse=True):
        if len(item) > 3 and set(item.split()) <= words:
            return 0.6, f"the heading holds {item!r}"
    common = {w for w in words & own if len(w) > 2}
    if common:
        return 0.3 + 0.3 * len(common) / len(
            own | words
        ), f"both speak of {', '.join(sorted(common))}"
    return 0.0, ""
