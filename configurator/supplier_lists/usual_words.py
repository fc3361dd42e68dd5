"""What the headings of price lists are called, and how much one speaks for a column of ours."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.files.part_columns import (
    COMMON_COLUMNS,
    LEAD_TIME,
    PART_NUMBER,
    POSITION,
    PRICE,
    TITLE,
)
from configurator.supplier_lists.headings import heading_parts

if TYPE_CHECKING:
    from collections.abc import Iterable

# Usual words over the columns of price lists, English and German; common practice, no source. A
# word may stand under several names: which is meant is decided for all columns together.
_USUAL = {
    PART_NUMBER: (
        "part number", "part no", "part", "article number", "article no", "art no", "art nr",
        "article", "item number", "item no", "item", "sku", "order code", "order no",
        "order number", "product code", "code", "number", "no", "artikelnummer", "artikel nr",
        "artikelnr", "artikel", "teilenummer", "bestellnummer", "bestell nr", "ref",
        "reference", "referenz",
    ),
    TITLE: (
        "title", "description", "designation", "name", "product", "product name", "bezeichnung",
        "beschreibung", "artikelbezeichnung", "titel", "text", "pattern", "profil", "modell",
    ),
    PRICE: (
        "price", "retail", "retail price", "list price", "unit price", "price each", "sales price",
        "rrp", "recommended price", "preis", "listenpreis", "verkaufspreis", "vk", "vk preis",
        "einzelpreis", "uvp", "net", "net price", "netto", "nettopreis", "gross price", "brutto",
        "bruttopreis", "endpreis", "endkundenpreis", "retail price each",
    ),
    "maker": ("maker", "make", "brand", "manufacturer", "marke", "hersteller"),
    LEAD_TIME: (
        "lead time", "delivery", "delivery time", "days", "lieferzeit", "lieferfrist",
    ),
    POSITION: ("position", "fits", "axle", "einbauort", "achse"),
    "note": ("note", "notes", "remark", "remarks", "comment", "bemerkung", "hinweis"),
    "mass": ("mass", "weight", "gewicht", "masse", "wt"),
    "size": ("size", "tyre size", "tire size", "grösse", "größe", "dimension", "reifengröße"),
    "overall diameter": (
        "diameter", "dia", "od", "o d", "overall dia", "outer diameter", "height",
        "aussendurchmesser", "außendurchmesser", "ø außen", "ø aussen", "außen ø", "aussen ø",
    ),
    "section width": ("section", "sw", "width", "sect width", "breite", "querschnittsbreite"),
    "measuring rim width": ("meas rim", "measuring rim", "test rim", "messfelge"),
    "narrowest rim": (
        "min rim", "rim min", "min rim width", "minimum rim", "narrow", "narrow rim",
        "felgenbreite min", "felge min",
    ),
    "widest rim": (
        "max rim", "rim max", "max rim width", "maximum rim", "wide", "wide rim",
        "felgenbreite max", "felge max",
    ),
    "rim diameter": (
        "rim dia", "wheel diameter", "rim d", "felgendurchmesser", "zoll", "rim", "dia",
    ),
    "load index": ("li", "load idx", "loadindex", "tragfähigkeitsindex", "lastindex"),
    "speed symbol": (
        "si", "ss", "speed", "speed index", "speed rating", "speed idx", "geschwindigkeitsindex",
    ),
    "service": ("type", "construction", "class"),
    "rolling circumference": ("circumference", "abrollumfang", "umfang", "rev"),
    "rim width": ("width", "wheel width", "j", "felgenbreite", "maulweite"),
    "offset": ("et", "os", "is", "einpresstiefe", "et mm"),
    "PCD": ("bolt circle", "lochkreis", "lk", "p c d"),
    "studs": ("holes", "lugs", "bolts", "lochzahl", "no of holes", "bolt holes", "stud holes"),
    "centre bore": (
        "cb", "bore", "hub bore", "center bore", "mittenloch", "mittenbohrung", "nabe",
        "mb", "ml", "ml ø", "mittenloch ø",
    ),
    "load rating": ("max load", "load", "load capacity", "wheel load", "traglast", "radlast"),
    "barrel diameter": ("barrel", "free barrel", "inner diameter"),
    "pad thickness": ("pad", "flange thickness", "anlage", "anlagestärke"),
    "nut seat": ("seat", "bolt seat", "seat type", "bund", "nut type"),
    "seat": ("nut seat", "seat type", "bund"),
    "thread": ("gewinde", "thread size"),
    "open length": (
        "extended", "extended length", "ext length", "ext", "open", "max length", "lang",
        "länge offen",
    ),
    "closed length": (
        "collapsed", "collapsed length", "compressed", "compressed length", "comp", "closed",
        "min length", "kurz", "länge zu",
    ),
    "body diameter": ("body", "body dia", "tube dia", "body d"),
    "upper mount": ("top mount", "top", "upper", "oben"),
    "lower mount": ("bottom mount", "bottom", "lower", "unten"),
    "damping": ("damping coefficient", "dämpfung"),
    "shortest length": ("min length", "min", "shortest"),
    "longest length": ("max length", "max", "longest"),
}  # fmt: skip


def heading_words(attributes: Iterable[str]) -> frozenset[str]:
    """Collect the words that headings are made of, of attributes and of what all lists have."""
    names = {*attributes, *COMMON_COLUMNS}
    texts = [*names, *(word for name in names for word in _USUAL.get(name, ()))]
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
