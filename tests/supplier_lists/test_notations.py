"""The trade's notations: as the standards write them, as lists spell them, and back again."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.core.text import Misread
from configurator.core.units import to_si
from configurator.formulas import tyre_sizes
from configurator.formulas.wheels import offset_from_backspacing
from configurator.supplier_lists.notations.notation import Quantity
from configurator.supplier_lists.notations.registry import NOTATIONS
from configurator.supplier_lists.notations.thread_markings import PITCHES, THREADS_AN_INCH


def values(notation: str, *texts: str) -> dict[str, str]:
    """Read texts; numbers as text in the unit that is noted."""
    columns = NOTATIONS[notation].read(texts)
    return {
        name: value if isinstance(value, str) else value.in_unit(value.unit)
        for name, value in columns.items()
    }


def refused(notation: str, *texts: str) -> str:
    with pytest.raises(Misread) as caught:
        NOTATIONS[notation].read(texts)
    return f"{caught.value.what}; {caught.value.do}"


@pytest.mark.parametrize(
    ("text", "size", "diameter", "service"),
    [
        # ISO 4000-1: diameter = rim code x 25.4 mm + 2 x width x aspect ratio; TRA: as named.
        ("LT285/70R17", "LT285/70R17", "830.8 mm", "light truck"),
        ("lt 285/70 r 17", "LT285/70R17", "830.8 mm", "light truck"),
        ("285/70 R 17", "285/70R17", "830.8 mm", "passenger"),
        ("285/70R17LT", "LT285/70R17", "830.8 mm", "light truck"),
        ("235/85R16C 120/116N", "235/85R16C", "805.9 mm", "light truck"),
        ("35x12.50R17LT", "35x12.50R17LT", "35 in", "light truck"),
        ("35X12,5 R17 LT", "35x12.50R17LT", "35 in", "light truck"),
        ("33x10.50-15", "33x10.50-15", "33 in", None),
        ("LT33×10.50 R15", "33x10.50R15LT", "33 in", "light truck"),
        ("7.50R16C", "7.50R16C", "802 mm", "light truck"),
    ],
)
def test_tyre_sizes(text: str, size: str, diameter: str, service: str | None) -> None:
    columns = NOTATIONS["tyre size"].read([text])
    stated = columns["overall diameter"]
    assert isinstance(stated, Quantity)
    assert columns["size"] == size
    assert f"{stated.in_unit(stated.unit)} {stated.unit}" == diameter
    assert columns.get("service") == service


@pytest.mark.parametrize(
    "text",
    ["LT285/70R17 121/118Q", "LT285/70R17/E 121/118Q", "285/70R17LT 10PR 121/118 Q (LI)"],
)
def test_what_stands_behind_a_size(text: str) -> None:
    read = values("tyre size", text)
    assert (read["load index"], read["load index dual"], read["speed symbol"]) == (
        "121", "118", "Q",
    )  # fmt: skip


def test_what_may_be_two_sizes_is_refused_with_both() -> None:
    both = "may be 35x12.50R17 or 35x1250R17; write the one that is meant"
    assert both in refused("tyre size", "35x1250R17")
    assert "may be 35x12.50 or 35x1250" in refused("tyre size", "35x1250")
    assert "may be 31x10.50R15LT or 31x105R15LT" in refused("tyre size", "31x105 R15 LT")
    assert "may be 33x9.50-15 or 33x950-15" in refused("tyre size", "33x950-15")
    assert "may be LT285/70R17 or LT285/70-17" in refused("tyre size", "LT285 70 17")
    assert "is no tyre size" in refused("tyre size", "Mud tyre, big")
    assert "35 in tall on a rim of 32 in" not in refused("tyre size", "35x12.50R")
    assert "marked P and C" in refused("tyre size", "P285/70R17C")


def test_load_and_speed() -> None:
    assert values("load and speed", "121/118Q") == {
        "load index": "121", "load index dual": "118", "speed symbol": "Q",
    }  # fmt: skip
    assert values("load and speed", "E 128 R") == {"load index": "128", "speed symbol": "R"}
    assert "0 to 279" in refused("load and speed", "301Q")
    assert "it may be 121/118" in refused("load and speed", "118/121Q")
    assert "speed symbol 'A'" in refused("load and speed", "121A")
    assert "is no load index" in refused("load and speed", "Q")


@pytest.mark.parametrize(
    ("text", "diameter", "width", "offset"),
    [
        ("17x9", "17", "9", None),
        ("9Jx17H2", "17", "9", None),
        ("9,0 J x 17", "17", "9", None),
        ("8½x17 ET+25", "17", "8.5", "25"),
        ("17x8.5 ET-12", "17", "8.5", "-12"),
        ('16"x7" 0', "16", "7", "0"),
        ("14x12J", "14", "12", None),
    ],
)
def test_rim_sizes(text: str, diameter: str, width: str, offset: str | None) -> None:
    read = values("rim size", text)
    assert (read["rim diameter"], read["rim width"], read.get("offset")) == (
        diameter, width, offset,
    )  # fmt: skip


def test_a_rim_that_does_not_say_its_width_is_refused() -> None:
    assert "14 J x 12 or 12 J x 14" in refused("rim size", "14x12")
    assert "is no rim size" in refused("rim size", "17x90")


@pytest.mark.parametrize(
    ("text", "studs", "circle"),
    [
        ("5x127", "5", "127"),
        ("6x5,5", "6", "139.7"),
        ("5 on 4,5", "5", "114.3"),
        ("8-165.1", "8", "165.1"),
        ("8 x 6.5 in", "8", "165.1"),
        ("139.7x6", "6", "139.7"),
        ("5x5", "5", "127"),
        ("6/139,7", "6", "139.7"),
        ("5 lug on 5.5", "5", "139.7"),
    ],
)
def test_bolt_patterns(text: str, studs: str, circle: str) -> None:
    assert values("bolt pattern", text) == {"studs": studs, "PCD": circle}


def test_bolt_patterns_that_may_be_two() -> None:
    assert "5 studs on 6 in or 6 studs on 5 in" in refused("bolt pattern", "5x6")
    assert "two bolt patterns" in refused("bolt pattern", "5x114.3/127")
    assert "is no bolt pattern" in refused("bolt pattern", "5x45")
    assert values("bolt pattern", "5x6 in")["PCD"] == "152.4"


def test_ranges() -> None:
    assert values("range", "7.5-9.0") == {"lowest": "7.5", "highest": "9"}
    assert values("range", "7½J – 9J") == {"lowest": "7.5", "highest": "9"}
    assert values("range", "8") == {"lowest": "8", "highest": "8"}
    assert "write 7.5-9" in refused("range", "9-7,5")
    assert "two units" in refused("range", "190 mm - 9 in")


def test_back_spacing() -> None:
    # 5.75 in on a 9 in rim with flanges of 1/2 in: 5.75 - (9 + 1) / 2 = 0.75 in = 19.05 mm.
    assert values("back spacing", '5.75"', "9") == {"offset": "19.05"}
    assert values("back spacing", "146,05 mm", "17x9") == {"offset": "19.05"}
    assert "lies outside a rim" in refused("back spacing", "114", "9")
    assert values("back spacing", "4", "7") == {"offset": "0"}
    for spacing, width in ((Decimal("3.5"), 7), (Decimal("5.75"), 9), (Decimal("4.12"), 8)):
        (offset,) = values("back spacing", f"{spacing}", f"{width}").values()
        inches = (to_si(float(spacing), "in"), to_si(width, "in"), to_si(0.5, "in"))
        assert to_si(float(offset), "mm") == pytest.approx(offset_from_backspacing(*inches))


def test_threads() -> None:
    assert values("thread", "M14 x 1,5") == {"thread": "M14x1.5"}
    assert values("thread", "12x1.50") == {"thread": "M12x1.5"}
    assert values("thread", '1/2"-20') == {"thread": "1/2-20 UNF"}
    assert "M12x1.75 or M12x1.5" in refused("thread", "M12")
    assert "write M14x1.5" in refused("thread", "M14x15")
    assert "no thread of ISO 261" in refused("thread", "M14x1.4")
    assert "is UNF" in refused("thread", "1/2-20 UNC")


def test_sums() -> None:
    assert values("sum", "365", "225") == {"result": "590"}
    assert values("difference", "590.5", "225") == {"result": "365.5"}
    assert "not in one unit" in refused("sum", "365 mm", "9 in")


def test_every_example_is_read() -> None:
    for name in ("tyre size", "load and speed", "bolt pattern", "range", "thread"):
        notation = NOTATIONS[name]
        assert set(notation.read([notation.example])) <= set(notation.gives)


def written_and_read(notation: str, *texts: str) -> None:
    notation_read = NOTATIONS[notation]
    first = notation_read.read(texts)
    assert notation_read.write is not None
    assert notation_read.read([notation_read.write(first)]) == first


indices = st.sampled_from(sorted(tyre_sizes.LOAD_INDICES))
symbols = st.sampled_from(sorted(tyre_sizes.SPEED_SYMBOLS))
blanks = st.sampled_from(["", " "])
signs = st.sampled_from([".", ","])


@given(
    st.sampled_from(["", "P", "LT", "LT "]), st.integers(155, 445), st.integers(30, 85),
    st.sampled_from(["R", " R ", "-", "ZR"]), st.integers(14, 22), st.none() | symbols,
    st.integers(60, 279),
)  # fmt: skip
def test_any_metric_size_comes_back(
    use: str, width: int, aspect: int, build: str, rim: int, symbol: str | None, index: int
) -> None:
    service = f" {index}{symbol}" if symbol else ""
    written_and_read("tyre size", f"{use}{width}/{aspect}{build}{rim}{service}")


@given(
    st.integers(27, 44), st.integers(0, 3), st.integers(850, 1450), signs, blanks,
    st.integers(14, 20), st.sampled_from(["", "LT", " LT"]),
)  # fmt: skip
def test_any_flotation_size_comes_back(
    tall: int, quarters: int, wide: int, sign: str, gap: str, rim: int, mark: str
) -> None:
    diameter = f"{tall}{sign}{quarters * 25:02}" if quarters else str(tall)
    width = f"{wide // 100}{sign}{wide % 100:02}"
    if rim + 4 < tall:
        written_and_read("tyre size", f"{diameter}{gap}x{gap}{width}R{gap}{rim}{mark}")


@given(indices, st.none() | indices, st.none() | symbols, blanks)
def test_any_load_and_speed_comes_back(
    single: int, dual: int | None, symbol: str | None, gap: str
) -> None:
    if single < 10 or (dual is not None and not 10 <= dual <= single):
        return  # a single digit is no marking that is found on a tyre
    pair = f"/{dual}" if dual is not None else ""
    written_and_read("load and speed", f"{single}{pair}{gap}{symbol or ''}")


@given(
    st.integers(8, 22), st.integers(15, 22), signs, st.none() | st.integers(-90, 90),
    st.sampled_from(["J", " J", "JJ"]),
)  # fmt: skip
def test_any_rim_size_comes_back(
    halves: int, diameter: int, sign: str, offset: int | None, form: str
) -> None:
    width = f"{halves // 2}{sign}5" if halves % 2 else str(halves // 2)
    behind = "" if offset is None else f" ET{offset}"
    written_and_read("rim size", f"{width}{form} x {diameter}{behind}")


@given(st.integers(3, 10), st.integers(900, 2600), signs, st.sampled_from(["x", " on ", "-"]))
def test_any_bolt_pattern_comes_back(studs: int, tenths: int, sign: str, between: str) -> None:
    circle = f"{tenths // 10}{sign}{tenths % 10}"
    written_and_read("bolt pattern", f"{studs}{between}{circle}")


@given(st.integers(0, 9999), st.integers(0, 9999), signs, st.sampled_from(["", " mm", " in"]))
def test_any_range_comes_back(first: int, second: int, sign: str, unit: str) -> None:
    low, high = sorted((first, second))
    written_and_read("range", f"{low // 10}{sign}{low % 10} - {high // 10}{sign}{high % 10}{unit}")


@given(
    st.sampled_from([(size, pitch) for size, every in PITCHES.items() for pitch in every]), signs
)
def test_any_metric_thread_comes_back(thread: tuple[int, str], sign: str) -> None:
    size, pitch = thread
    written_and_read("thread", f"M {size} x {pitch.replace('.', sign)}")


@given(st.sampled_from(sorted(THREADS_AN_INCH)), st.booleans())
def test_any_unified_thread_comes_back(size: str, fine: bool) -> None:
    written_and_read("thread", f"{size}-{THREADS_AN_INCH[size][fine]}")


@given(st.text(max_size=20))
def test_no_text_does_anything_but_be_read_or_refused(text: str) -> None:
    for notation in NOTATIONS.values():
        texts = [text] * max(1, len(notation.inputs))
        try:
            columns = notation.read(texts)
        except Misread:
            continue
        assert set(columns) <= set(notation.gives)
        assert all(
            isinstance(value, str) or isinstance(value.number, Decimal)
            for value in columns.values()
        )
