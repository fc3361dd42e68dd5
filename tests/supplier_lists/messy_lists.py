"""Three suppliers' files as they come, each beside the truth that it was written from.

Makers, numbers and prices are invented. A list is messy in what stands around the rows, in how
values are written and in a few rows that are wrong; what is wrong is known by part number.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from pathlib import Path

import xlsxwriter
import xlwt

from configurator.core.units import to_si


@dataclass
class MessyList:
    """A supplier's list.

    ``truth`` holds part number → column → value in SI (price in minor units); ``wrong`` the
    numbers whose row cannot be taken; ``rows`` the cells by part number, as the file has them.
    """

    family: str
    headings: list[str]
    rows: list[tuple[str, list[object]]] = field(default_factory=list)
    truth: dict[str, dict[str, object]] = field(default_factory=dict)
    wrong: set[str] = field(default_factory=set)

    def add(self, number: str, cells: list[object], truth: dict[str, object]) -> None:
        self.rows.append((number, cells))
        self.truth[number] = truth


def german(number: float, decimals: int = 2) -> str:
    """Write a number with a decimal comma and points of thousands."""
    text = f"{number:,.{decimals}f}"
    return text.replace(",", "'").replace(".", ",").replace("'", ".")


TYRE_HEADINGS = [
    "Art.-Nr.", "Profil", "Größe", "LI/SI", "Felge min-max", "Messfelge", "Ø außen [mm]",
    "Breite [mm]", "Gewicht", "VK €",
]  # fmt: skip


def tyre_list(count: int = 1500, seed: int = 1) -> MessyList:
    """Tyres: sizes in four systems, a range of rims in one cell, decimal commas."""
    draw = random.Random(seed)
    made = MessyList("tyres", TYRE_HEADINGS)
    spellings = {
        "metric": ("LT{w}/{a}R{r}", "lt {w}/{a} R {r}", "{w}/{a} R {r} LT"),
        "passenger": ("{w}/{a}R{r}", "{w}/{a} R {r}"),
        "commercial": ("{w}/{a}R{r}C", "{w}/{a} R{r} C"),
        "flotation": ("{d}x{f}R{r}LT", "{d}X{g} R{r} LT", "LT{d}x{f}-{r}"),
    }
    for number in range(count):
        system = draw.choice([*spellings])
        rim = draw.choice([15, 16, 17, 18, 20])
        width, aspect = draw.choice(range(215, 325, 10)), draw.choice([60, 65, 70, 75, 80, 85])
        tall, wide = draw.choice([31, 32, 33, 35, 37]), draw.choice([9.5, 10.5, 11.5, 12.5])
        text = draw.choice(spellings[system]).format(
            w=width, a=aspect, r=rim, d=tall, f=f"{wide:.2f}", g=german(wide, 1)
        )
        index, symbol = draw.choice(range(104, 131)), draw.choice("NPQRST")
        dual = draw.choice([None, index - 3])
        load = f"{index}{f'/{dual}' if dual else ''}{draw.choice(['', ' '])}{symbol}"
        low = draw.choice([6.5, 7.0, 7.5, 8.0])
        high = low + draw.choice([1.0, 1.5, 2.0])
        dash = draw.choice(["-", " - ", "–"])
        diameter = draw.randrange(7000, 9400) / 10
        section, mass = draw.randrange(210, 330), draw.randrange(150, 400) / 10
        price = draw.randrange(8900, 189900)
        key = f"MT-{number:05}"
        made.add(
            key,
            [
                key, draw.choice(["Halde", "Grat", "Moor"]), text, load,
                f"{german(low, 1)}{dash}{german(high, 1)}", german(low + 0.5, 1),
                german(diameter, 1), str(section), f"{german(mass, 1)} kg",
                f"{german(price / 100)} €",
            ],
            {
                "price": price,
                "rim diameter": to_si(rim, "in"),
                "overall diameter": to_si(diameter, "mm"),
                "section width": to_si(section, "mm"),
                "measuring rim width": to_si(low + 0.5, "in"),
                "narrowest rim": to_si(low, "in"),
                "widest rim": to_si(high, "in"),
                "load index": index,
                "speed symbol": symbol,
                "service": "passenger" if system == "passenger" else "light truck",
                "mass": to_si(mass, "kg"),
            },
        )  # fmt: skip
    return made


def write_tyres(made: MessyList, path: Path) -> Path:
    """Write CSV in windows-1252 with a title, headings of series and subtotals."""
    lines = ["Preisliste Herbst;;;;;;;;;", ";;;;;;;;;", ";".join(made.headings)]
    for number, (_, cells) in enumerate(made.rows):
        if number % 100 == 0:
            lines.append(f"Serie {number // 100 + 1};;;;;;;;;")
        lines.append(";".join(map(str, cells)))
        if number % 100 == 99:
            lines.append(f";Summe {number + 1} Artikel;;;;;;;;{german(number * 100)} €")
    path.write_bytes("\r\n".join([*lines, "Irrtum vorbehalten;;;;;;;;;", ""]).encode("cp1252"))
    return path


WHEEL_HEADINGS = [
    "Part no", "Description", "Size", "Bolt pattern", "Back spacing", "CB (mm)", "Barrel (mm)",
    "Pad (mm)", "Max load (lbs)", "Seat", "Weight (lb)", "Price",
]  # fmt: skip
PATTERNS = {
    "5x127": (5, 127.0), "6x139.7": (6, 139.7), "6x5.5": (6, 139.7), "5 on 4.5": (5, 114.3),
    "8-165.1": (8, 165.1), "6x5,5": (6, 139.7), "5x5.5": (5, 139.7), "8x6.5": (8, 165.1),
}  # fmt: skip
SEATS = {"Cone 60": "60 degree cone", "Ball": "ball", "FLAT": "flat"}


def wheel_list(count: int = 3000, seed: int = 2) -> MessyList:
    """Wheels: inches and pounds, back spacings, bolt patterns in every spelling."""
    draw = random.Random(seed)
    made = MessyList("wheels", WHEEL_HEADINGS)
    for number in range(count):
        rim, width = draw.choice([15, 16, 17, 18, 20]), draw.choice([7, 7.5, 8, 8.5, 9, 10])
        pattern = draw.choice([*PATTERNS])
        spacing = draw.choice([3.5, 3.75, 4.0, 4.25, 4.5, 4.75, 5.0])
        bore = draw.choice([71.5, 78.1, 106.1, 108.0, 110.1, 121.3])
        barrel, pad = rim * 25 - draw.randrange(20, 45), draw.choice([6, 8, 11.5, 14])
        pounds, seat = draw.choice([2000, 2500, 2650, 3197]), draw.choice([*SEATS])
        weight, price = draw.randrange(250, 600) / 10, draw.randrange(6900, 69900)
        key = f"OW{number:06}"
        size = draw.choice(["{r}x{w}", "{w}Jx{r}H2", "{w} J x {r}"]).format(r=rim, w=width)
        back = draw.choice(['{b}"', "{b}", "{b} in"]).format(b=spacing)
        made.add(
            key,
            [
                key, f"Wheel {size}, {pattern}", size, pattern, back, bore, barrel, pad, pounds,
                seat, weight, price / 100,
            ],
            {
                "price": price,
                "rim diameter": to_si(rim, "in"),
                "rim width": to_si(width, "in"),
                # Back spacing less half the width over flanges of 12.7 mm each.
                "offset": to_si(spacing * 25.4 - (width * 25.4 + 25.4) / 2, "mm"),
                "studs": PATTERNS[pattern][0],
                "PCD": to_si(PATTERNS[pattern][1], "mm"),
                "centre bore": to_si(bore, "mm"),
                "barrel diameter": to_si(barrel, "mm"),
                "pad thickness": to_si(pad, "mm"),
                "load rating": to_si(pounds, "lb"),
                "nut seat": SEATS[seat],
                "mass": to_si(weight, "lb"),
            },
        )  # fmt: skip
    return made


def write_wheels(made: MessyList, path: Path) -> Path:
    """Write a workbook of two sheets, the second with its headings lower down."""
    with xlsxwriter.Workbook(str(path)) as book:
        money = book.add_format({"num_format": "#,##0.00 [$€-407]"})
        half = len(made.rows) // 2
        for name, top, rows in (("Steel", 1, made.rows[:half]), ("Alloy", 4, made.rows[half:])):
            sheet = book.add_worksheet(name)
            sheet.write(0, 0, f"{name} wheels. Prices with tax.")
            sheet.write_row(top, 0, made.headings)
            for number, (_, cells) in enumerate(rows, start=top + 1):
                sheet.write_row(number, 0, cells[:-1])
                last = cells[-1]
                if isinstance(last, float):
                    sheet.write_number(number, len(cells) - 1, last, money)
                else:
                    sheet.write(number, len(cells) - 1, last)
    return path


SHOCK_HEADINGS = [
    "SKU", "Model", "Axle", "Collapsed (in)", "Stroke (in)", "Body (in)", "Top", "Bottom",
    "Damping coefficient (N s/m)", "Weight", "Retail EUR",
]  # fmt: skip
AXLES = {"F": ("front shocks",), "R": ("rear shocks",), "F+R": ("front shocks", "rear shocks")}
MOUNTS = {"Eye": "eye", "STEM": "stem", "Fork": "fork", "eye": "eye"}


def shock_list(count: int = 800, seed: int = 3) -> MessyList:
    """Shock absorbers: an open length that has to be worked out, capitals, inches."""
    draw = random.Random(seed)
    made = MessyList("shocks", SHOCK_HEADINGS)
    for number in range(count):
        closed = draw.randrange(1200, 1700) / 100
        stroke = draw.randrange(700, 1100) / 100
        body, axle = draw.choice([1.75, 2.0, 2.5]), draw.choice([*AXLES])
        upper, lower = draw.choice([*MOUNTS]), draw.choice([*MOUNTS])
        damping, weight = draw.randrange(1500, 6000), draw.randrange(20, 60) / 10
        price = draw.randrange(3900, 59900)
        key = f"{number:06}"
        made.add(
            key,
            [
                key, f"Halde {draw.choice('ABC')}{number}", axle, closed, stroke, body, upper,
                lower, damping, f"{weight} kg", price / 100,
            ],
            {
                "price": price,
                "position": AXLES[axle],
                "closed length": to_si(closed, "in"),
                "open length": to_si(round(closed + stroke, 4), "in"),
                "body diameter": to_si(body, "in"),
                "upper mount": MOUNTS[upper],
                "lower mount": MOUNTS[lower],
                "damping": float(damping),
                "mass": to_si(weight, "kg"),
            },
        )  # fmt: skip
    return made


def write_shocks(made: MessyList, path: Path) -> Path:
    """Write a workbook of the old kind, part numbers as text."""
    book = xlwt.Workbook()
    sheet = book.add_sheet("Shocks")
    for column, text in enumerate(made.headings):
        sheet.write(0, column, text)
    for number, (_, cells) in enumerate(made.rows, start=1):
        for column, cell in enumerate(cells):
            sheet.write(number, column, cell)
    book.save(str(path))
    return path


# How each list is spoilt: the column of the cell, and what stands there instead.
SPOILT: dict[str, tuple[tuple[int, object], ...]] = {
    "tyres": (
        (2, "35x1250R17"),  # 12.50 or 1250
        (3, "118/121Q"),  # the pair carries more than the single tyre
        (4, "9,0-7,5"),
        (6, "0,0"),
        (8, "22,0 N"),
        (9, "auf Anfrage"),
    ),
    "wheels": (
        (2, "14x12"),  # which is the width?
        (3, "5x6"),
        (4, "114"),  # millimetres, where the others are inches
        (5, "7\u200b1.5"),  # a sign that nobody sees
        (9, "Conical"),  # no word of ours
        (11, "POA"),
    ),
    "shocks": (
        (3, 99.0),  # longer than any
        (6, "hook"),
        (8, "soft"),
        (9, "3 N"),
        (10, "#N/A"),
    ),
}


def spoilt(made: MessyList, numbers: list[str]) -> MessyList:
    """Return the list with one cell wrong in the rows of some part numbers."""
    kinds = SPOILT[made.family]
    by_number = {number: list(cells) for number, cells in made.rows}
    for at, number in enumerate(numbers):
        column, cell = kinds[at % len(kinds)]
        by_number[number][column] = cell
    rows = [(number, by_number[number]) for number, _ in made.rows]
    return MessyList(made.family, made.headings, rows, made.truth, {*made.wrong, *numbers})
