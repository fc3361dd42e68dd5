"""Engine speed against road speed in every gear, before and after."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.core import units
from configurator.core.errors import InputError, Problem
from configurator.drawings import drawing_templates as template
from configurator.drawings.axes import TITLE, Axis, Plot, draw_axes, in_rows, left_margin, ticks
from configurator.drawings.geometry import ViewReader
from configurator.drawings.ink import LIGHT, add, finished, rows, sheet, text_width, write
from configurator.drawings.ink import number as place
from configurator.drawings.reader import Reader, value_words
from configurator.drawings.svg import PAPER_WIDTH, Drawing, draw_nothing
from configurator.formulas import gearing, tyres
from configurator.model.references import ConditionValue, VehicleValue
from configurator.wording.quantities import unit_in

if TYPE_CHECKING:
    from collections.abc import Mapping
    from xml.etree.ElementTree import Element

    from configurator.drawings.ink import Ink
    from configurator.drawings.reader import NumberWriter, TextWriter
    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.jobs import Goal
    from configurator.wording.quantities import System

BEHIND = 1.4  # from the end of the axis to a name behind it
LOWEST, TOP = "lowest gear", "top gear"
# Between them; a gearbox has as many of these, in this order, as it has.
BETWEEN = ("second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")
AT_CRUISE = "engine speed at cruise"
IN_EVERY_GEAR = "engine speed in every gear"
# A goal on it (at least, at most) → what is said of its box.
BOXES = {
    (True, False): template.BOX_AT_LEAST,
    (False, True): template.BOX_AT_MOST,
    (True, True): template.BOX_BETWEEN,
}
LEAST_WIDTH = 110.0
FIELD = 78.0  # height of the field [mm]
ROW = 3.4
# Half the width of the box of a goal, as a share of the axis.
BOX = 0.03


@dataclass(frozen=True, slots=True)
class Gear:
    """A gear: turns of the engine per way of the vehicle [rad/m]."""

    name: str
    slope: float


@dataclass(frozen=True, slots=True)
class Speeds:
    """The gears of a vehicle.

    Parameters
    ----------
    gears
        The slowest first.
    limit
        Highest engine speed [rad/s].
    top_speed
        That the vehicle is to be able to run [m/s].
    cruise
        Cruising speed of the job [m/s]; None where no plugin asks for one.
    not_drawn
        What is missing.
    """

    gears: tuple[Gear, ...]
    limit: float | None
    top_speed: float | None
    cruise: float | None
    not_drawn: tuple[str, ...]


def speeds_of(evaluation: Evaluation, choice: Mapping[str, Option]) -> Speeds:
    """Return the gears of a vehicle with a package; the lowest is there in the low range too."""
    reader = ViewReader(evaluation, choice)
    way = reader.figure("rear distance per propshaft turn")
    limit = reader.measure("highest engine speed")
    top_speed = reader.measure("top speed")
    high, low = reader.measure("high range ratio"), reader.measure("low range ratio")
    ratios = {gear: reader.measure(f"{gear} ratio") for gear in _gears_of(evaluation)}
    known = sorted(((r, name) for name, r in ratios.items() if r is not None), reverse=True)
    gears = []
    if way is not None and high is not None and known:
        radius = tyres.effective_rolling_radius(way)
        if low is not None and low != 1.0:
            ratio, name = known[0]
            slope = gearing.overall_ratio(ratio, low, 1.0, 1.0) / radius
            gears.append(Gear(f"{name}, low range", float(slope)))
        for ratio, name in known:
            slope = gearing.overall_ratio(ratio, high, 1.0, 1.0) / radius
            gears.append(Gear(name, float(slope)))
    if len(ratios) == len((LOWEST, TOP)):
        reader.not_drawn.append("gears between the lowest and the top one: no ratios of them")
    cruise = evaluation.constants.get(str(ConditionValue("cruising speed")))
    return Speeds(
        tuple(gears),
        limit,
        top_speed,
        float(cruise) if isinstance(cruise, int | float) else None,
        tuple(reader.not_drawn),
    )


def _gears_of(evaluation: Evaluation) -> tuple[str, ...]:
    """Name the gears of a vehicle: the last one that was given ends those between."""
    ratios = [evaluation.constants.get(str(VehicleValue(f"{name} gear ratio"))) for name in BETWEEN]
    given = [number for number, ratio in enumerate(ratios) if isinstance(ratio, int | float)]
    between = [f"{name} gear" for name in BETWEEN[: max(given, default=-1) + 1]]
    return (LOWEST, *between, TOP)


def draw_speeds(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    *,
    width: float = PAPER_WIDTH,
    ink: Ink = LIGHT,
    system: System | None = None,
    number: NumberWriter = str,
    text: TextWriter = str,
) -> Drawing:
    """Draw the chart; a goal on the engine speed at cruise is a box.

    Parameters
    ----------
    evaluation
        Of the job.
    choice
        Of a package; `Evaluation.fitted` draws the vehicle as it stands alone.
    width
        In print [mm].
    ink
        Colours.
    system
        Units.
    number
        Writes a decimal number as the reader does.
    text
        Says texts in the reader's language.

    Raises
    ------
    InputError
        If the paper is too narrow.
    """
    if width < LEAST_WIDTH:
        what = f"{width:g} mm of paper are too narrow for a chart"
        raise InputError([Problem("width", what, f"take {LEAST_WIDTH:g} mm or more")])
    after = _named(speeds_of(evaluation, choice), text)
    same = all(option == evaluation.fitted[place] for place, option in choice.items())
    before = None if same else _named(speeds_of(evaluation, evaluation.fitted), text)
    reader = Reader(system, number, text)
    vehicle = evaluation.case.vehicle.title
    title = reader.say(template.TITLE, vehicle=vehicle, view=text(IN_EVERY_GEAR))
    if not after.gears or after.limit is None or after.top_speed is None:
        return draw_nothing(title, after.not_drawn, width, ink, text)
    road, engine = unit_in("km/h", system), "rpm"
    fastest = units.from_si(max(after.top_speed, after.cruise or 0.0), road)
    across = Axis(reader.say(template.ROAD_SPEED, unit=road), ticks(0.0, fastest))
    up = Axis(
        reader.say(template.ENGINE_SPEED, unit=text(engine)),
        ticks(0.0, units.from_si(after.limit, engine)),
    )
    titles = rows(title, width - 4, TITLE)
    left = left_margin(up, number)
    names = [gear.name for gear in after.gears]
    # Names of gears whose lines end at the end of the axis stand behind it, clear of all lines.
    behind = [text_width(g.name) for g in after.gears if not _at_limit(g, after, across, system)]
    field = width - left - max([6.0, *(wide + BEHIND + 1.0 for wide in behind)])
    labels = in_rows(_spans(after, Plot(across, up, left, 0.0, field, FIELD), system))
    above = ROW * (max(labels, default=-1) + 1)
    top = 9.0 + 4.6 * len(titles) + above
    plot = Plot(across, up, left, top, field, FIELD)
    goals = [g for g in evaluation.case.job.goals if g.figure == AT_CRUISE]
    notes = _notes(evaluation, choice, before, after, goals, reader)
    lines = [row for note in notes for row in rows(note, width - 4)]
    height = top + FIELD + 13.0 + ROW * len(lines)
    svg = sheet(
        width,
        height,
        title,
        " ".join([*notes, reader.say(template.GEARS, names=", ".join(names))]),
        ink,
    )
    for k, line in enumerate(titles):
        write(svg, line, (2.0, 5.6 + 4.6 * k), ink, size=TITLE, bold=True)
    draw_axes(svg, plot, ink, above, number)
    for goal in goals:
        _goal(svg, plot, goal, after, ink, system)
    _limit(svg, plot, after.limit, ink)
    if before is not None:
        _gears(svg, plot, before, ink, system, of="before")
    ends = _gears(svg, plot, after, ink, system, of="after")
    waiting = iter(labels)
    for gear, (x, y) in zip(after.gears, ends, strict=True):
        if _at_limit(gear, after, across, system):
            _name_above(svg, gear.name, (x, y), plot.top - 1.6 - ROW * next(waiting), ink)
        else:
            write(svg, gear.name, (x + BEHIND, y + 0.9), ink)
    for k, line in enumerate(lines):
        write(svg, line, (2.0, top + FIELD + 13.0 + ROW * k), ink)
    missing = (*after.not_drawn, *(before.not_drawn if before else ()))
    return Drawing(title, finished(svg), width, height, 0, tuple(dict.fromkeys(missing)))


def _named(speeds: Speeds, text: TextWriter) -> Speeds:
    """Name gears, and what is missing, in the reader's language."""
    return replace(
        speeds,
        gears=tuple(replace(gear, name=text(gear.name)) for gear in speeds.gears),
        not_drawn=tuple(map(text, speeds.not_drawn)),
    )


def _at_limit(gear: Gear, speeds: Speeds, across: Axis, system: System | None) -> bool:
    """Whether a gear's line ends at the highest engine speed, not at the end of the axis."""
    fastest = units.to_si(across.high, unit_in("km/h", system))
    return speeds.limit is not None and speeds.limit / gear.slope < fastest


def _end(gear: Gear, speeds: Speeds, plot: Plot, system: System | None) -> tuple[float, float]:
    """Where a gear's line ends, in the units shown."""
    road = unit_in("km/h", system)
    fastest = units.to_si(plot.across.high, road)
    if speeds.limit is not None:
        fastest = min(fastest, speeds.limit / gear.slope)
    return units.from_si(fastest, road), units.from_si(fastest * gear.slope, "rpm")


def _spans(speeds: Speeds, plot: Plot, system: System | None) -> list[tuple[float, float]]:
    """Where the names above the field start and end, in the order of the gears."""
    spans = []
    for gear in speeds.gears:
        if _at_limit(gear, speeds, plot.across, system):
            x = plot.at(*_end(gear, speeds, plot, system))[0]
            wide = text_width(gear.name)
            over = x + wide > plot.left + plot.width + 4.0
            spans.append((x - wide, x) if over else (x, x + wide + 2.0))
    return spans


def _name_above(svg: Element, name: str, at: tuple[float, float], height: float, ink: Ink) -> None:
    x, y = at
    path = f"M{place(x)} {place(y)}V{place(height + 0.5)}"
    add(svg, "path", d=path, fill="none", stroke=ink.foreground, stroke_width=0.12)
    over = x + text_width(name) > float(svg.attrib["viewBox"].split()[2]) - 2.0
    write(svg, name, (x, height), ink, anchor="end" if over else "start")


def _gears(
    svg: Element, plot: Plot, speeds: Speeds, ink: Ink, system: System | None, *, of: str
) -> list[tuple[float, float]]:
    group = add(svg, "g", data_of=of, fill="none", stroke=ink.foreground)
    ends = []
    for gear in speeds.gears:
        x, y = plot.at(*_end(gear, speeds, plot, system))
        from_x, from_y = plot.at(0.0, 0.0)
        line = add(group, "line", x1=from_x, y1=from_y, x2=x, y2=y, data_gear=gear.name)
        line.set("stroke-width", "0.25" if of == "before" else "0.45")
        if of == "before":
            line.set("stroke-dasharray", "1.8 1.1")
        ends.append((x, y))
    return ends


def _limit(svg: Element, plot: Plot, limit: float, ink: Ink) -> None:
    y = plot.at(0.0, units.from_si(limit, "rpm"))[1]
    path = f"M{place(plot.left)} {place(y)}H{place(plot.left + plot.width)}"
    group = add(svg, "g", data_limit="yes", fill="none", stroke=ink.foreground)
    add(group, "path", d=path, stroke_width=0.3, stroke_dasharray="3.2 0.8 0.5 0.8")


def _goal(
    svg: Element, plot: Plot, goal: Goal, speeds: Speeds, ink: Ink, system: System | None
) -> None:
    if speeds.cruise is None:
        return
    middle = units.from_si(speeds.cruise, unit_in("km/h", system))
    half = BOX * (plot.across.high - plot.across.low)
    low = plot.up.low if goal.at_least is None else units.from_si(goal.at_least, "rpm")
    high = plot.up.high if goal.at_most is None else units.from_si(goal.at_most, "rpm")
    left, bottom = plot.at(middle - half, low)
    right, top = plot.at(middle + half, high)
    add(
        svg,
        "rect",
        data_goal=goal.figure,
        x=left,
        y=top,
        width=right - left,
        height=bottom - top,
        fill=ink.foreground,
        fill_opacity="0.12",
        stroke=ink.foreground,
        stroke_width=0.25,
        stroke_dasharray="0.5 0.8",
    )


def _notes(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    before: Speeds | None,
    after: Speeds,
    goals: list[Goal],
    reader: Reader,
) -> list[str]:
    notes = []
    if before is not None:
        notes.append(reader.text(template.SOLID_DASHED))
    if after.limit is not None:
        limit = value_words(after.limit, "rpm", reader)
        notes.append(reader.say(template.HIGHEST_ENGINE_SPEED, speed=limit))
    if after.cruise is not None and AT_CRUISE in evaluation.trade.figures:
        unit = evaluation.definition(AT_CRUISE).unit
        then = value_words(evaluation.figure(AT_CRUISE, choice), unit, reader)
        was = value_words(evaluation.figure(AT_CRUISE, evaluation.fitted), unit, reader)
        speed = value_words(after.cruise, "km/h", reader)
        if was == then or before is None:
            notes.append(reader.say(template.IN_TOP_GEAR, speed=speed, engine_speed=then))
        else:
            changed = {"speed": speed, "before": was, "after": then}
            notes.append(reader.say(template.IN_TOP_GEAR_CHANGED, **changed))
        for goal in goals:
            low, high = goal.at_least, goal.at_most
            box = BOXES.get((low is not None, high is not None))
            if box is not None:
                bounds = {
                    "low": value_words(low, unit, reader),
                    "high": value_words(high, unit, reader),
                }
                notes.append(reader.say(box, speed=speed, **bounds))
    notes.append(reader.text(template.WITHOUT_SLIP))
    missing = dict.fromkeys((*after.not_drawn, *(before.not_drawn if before else ())))
    if missing:
        notes.append(reader.say(template.NOT_DRAWN, what="; ".join(missing)))
    return notes
