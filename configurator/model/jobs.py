"""A job: which vehicle, which goals, what is decided already, how much money."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from configurator.model.stationery import Stationery

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.core.errors import Problem
    from configurator.core.money import Rate
    from configurator.model.parts import Part, Value
    from configurator.model.rules import Caution, Figure, Limit
    from configurator.model.stationery import Customer
    from configurator.model.tolerances import Tolerance
    from configurator.model.vehicles import Vehicle

Direction = Literal["high", "low"]


@dataclass(frozen=True, slots=True)
class Goal:
    """What the customer asks of one figure.

    ``at_least`` and ``at_most`` are in SI; ``as_possible`` is ``"high"`` or ``"low"`` where the
    figure is to be as high or as low as the budget allows. ``written_in`` is the unit in which the
    job gives the value; an answer in it comes first. ``sure`` asks that it holds within usual
    tolerances, and not as calculated only.
    """

    figure: str
    at_least: float | None = None
    at_most: float | None = None
    as_possible: Direction | None = None
    written_in: str = field(default="", compare=False)
    sure: bool = False


@dataclass(frozen=True, slots=True)
class Job:
    """What a customer wants done to a vehicle.

    Parameters
    ----------
    title
        Name of the job.
    vehicle
        Key of the vehicle, ``"<catalog>/<key>"``.
    catalogs
        Names of the catalogs to choose from, in order.
    budget
        In minor units of ``currency``; None for no limit.
    currency
        Of all prices in the job.
    conditions
        Name → value in SI; the others have their defaults.
    goals
        In the customer's order of preference: the first is given up last.
    fixed
        Position → part key (``"none"`` for empty): decided already.
    keep
        Positions whose present part must stay.
    excluded
        Part keys that are ruled out.
    vehicles
        How many identical vehicles are quoted together.
    workshop
        Name of the catalog whose workshop settings apply; None for the first that has some.
    measured
        Measures of this very vehicle that differ from its file, in SI.
    local_rules
        Which local rules apply, ``"<catalog>/<name>"``; None if none was chosen.
    prices
        Part key → price of one piece in this job alone, in minor units of ``currency``.
    parts_within
        How long the parts may take [day]; the work comes on top. None for no limit.
    own
        Keys of parts that the customer brings: priced nothing, not ordered, without warranty.
    discount
        Share of the price that the quotation takes off, as a plain number.
    customer
        For the documents only; None where the job does not say. No link carries it.
    lifted
        Rule → who answers for lifting it and why; only what should be, never what must.
    sure
        Whether limits on law, plates and contact must hold within usual tolerances, as is meant
        where nothing else is said, or as calculated only.
    tolerances
        What the job states of tolerances, as it is written: it counts before what vehicle and
        workshop state, and what is usual.
    """

    title: str
    vehicle: str
    catalogs: tuple[str, ...]
    budget: int | None = None
    currency: str = "EUR"
    conditions: Mapping[str, float] = field(default_factory=dict)
    goals: tuple[Goal, ...] = ()
    fixed: Mapping[str, str] = field(default_factory=dict)
    keep: tuple[str, ...] = ()
    excluded: tuple[str, ...] = ()
    vehicles: int = 1
    workshop: str | None = None
    measured: Mapping[str, Value] = field(default_factory=dict)
    local_rules: str | None = None
    prices: Mapping[str, int] = field(default_factory=dict)
    parts_within: int | None = None
    own: tuple[str, ...] = ()
    discount: float = 0.0
    customer: Customer | None = None
    sure: bool = True
    lifted: Mapping[str, str] = field(default_factory=dict)
    tolerances: Mapping[str, str] = field(default_factory=dict)


# What a workshop may print on: ISO 216 A4; letter, ANSI/ASME Y14.1 A (from memory).
PAPERS = ("a4", "letter")


@dataclass(frozen=True, slots=True)
class Workshop:
    """A shop's own settings.

    Parameters
    ----------
    title
        Name of the workshop.
    rate
        Price of an hour of work [minor units].
    consumables
        Name → price of one unit of what operations use [minor units].
    practices
        Numbers of workshop practice that differ from the defaults, in SI.
    tax
        Share of the net price that the prices of parts and work include, as a plain number.
    rates
        Currency → what one unit of it costs in the workshop's own.
    paper
        What the workshop prints on: ``"a4"`` or ``"letter"``; empty for what is used where the
        reader lives.
    stationery
        The head and the small print of its documents.
    consumable_units
        Name of a consumable → the unit that its price is for, such as a litre.
    round_to
        Step to which the total of a quotation is rounded down [minor units]; 0 for none.
    tolerances
        What the workshop states of tolerances, as it is written.
    lifted
        Rules that should hold and need not in this workshop → who answers for it, and why.
    """

    title: str = ""
    rate: int = 0
    consumables: Mapping[str, int] = field(default_factory=dict)
    practices: Mapping[str, float] = field(default_factory=dict)
    tax: float = 0.0
    rates: Mapping[str, Rate] = field(default_factory=dict)
    paper: str = ""
    stationery: Stationery = field(default_factory=Stationery)
    consumable_units: Mapping[str, str] = field(default_factory=dict)
    round_to: int = 0
    tolerances: Mapping[str, str] = field(default_factory=dict)
    lifted: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class CatalogInfo:
    """Where a catalog is from: said beside every price.

    ``remarks`` say what was laid over its prices: a rate of exchange, a shop's own changes.
    """

    key: str
    title: str
    currency: str
    price_date: str
    source: str
    licence: str = ""
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LocalRules:
    """Rules of a country or state, from a shop's own file: limits, and cautions for approvals.

    Parameters
    ----------
    key, title
        Of the file.
    rules
        What forbids is a limit, what needs approval a caution.
    figures
        Figures that the rules read, not rounded, by name.
    sources
        Rule → where it is from, with the date of the text it was taken from.
    """

    key: str
    title: str
    rules: tuple[Limit | Caution, ...] = ()
    figures: Mapping[str, Figure] = field(default_factory=dict)
    sources: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Case:
    """A job with everything it names: what the search is given.

    Parameters
    ----------
    job
        The job.
    vehicle
        The vehicle as it stands, with the job's corrections.
    parts
        Family key → the parts of all catalogs of the job, in a fixed order.
    workshop
        The settings in force.
    catalogs
        Where the parts are from.
    local_rules
        The local rules in force; None if none was chosen.
    warnings
        What is likely a mistake in what the job names, such as a change of a part that is gone.
    tolerances
        What job, vehicle and workshop state of tolerances, by measure, condition, figure or
        ``"family: attribute"``.
    """

    job: Job
    vehicle: Vehicle
    parts: Mapping[str, tuple[Part, ...]]
    workshop: Workshop = field(default_factory=Workshop)
    catalogs: tuple[CatalogInfo, ...] = ()
    local_rules: LocalRules | None = None
    warnings: tuple[Problem, ...] = ()
    tolerances: Mapping[str, Tolerance] = field(default_factory=dict)

    @property
    def lifted(self) -> Mapping[str, str]:
        """Rules that need not hold → who answers for it: by the job, and by the workshop."""
        return {**self.workshop.lifted, **self.job.lifted}
