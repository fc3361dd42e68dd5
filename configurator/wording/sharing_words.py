"""What vehicles of a fleet share, in words and as plain data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.wording.quantities import money_record, money_words

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from configurator.questions.shared_parts import FleetVehicle, SharedChoice, SharingAnswer

CHOICES = "The cheapest common choices"
BEST = "Shared by all: {parts}."
PRICE = "All vehicles together: {price}."
COST = "Sharing costs {cost} more than each vehicle's own cheapest package ({apart})."
FREE = "Sharing costs nothing: together it is what each vehicle's own cheapest package costs."
NOTHING = "There is no part that all of them may share as {positions}."
NOT_ALONE = "Nothing fits {name} by itself: ask why with its own job."
OVER = "{name}: {over} over the budget of {budget}, for one vehicle; sharing leaves budgets aside."
UNPROVEN = "Some of these prices are at least so much: the cheapest choice is not proven."


def _names(fleet: Sequence[FleetVehicle], choice: SharedChoice) -> str:
    """Name the parts of a choice as the first vehicle's list does."""
    evaluation = fleet[0].prepared.evaluation
    titles = []
    for position, key in choice.parts.items():
        options = evaluation.options(position)
        title = next(option.part.title for option in options if option.key == key)
        titles.append(f"{position} {title} ({key})")
    return "; ".join(titles)


def summary_lines(
    fleet: Sequence[FleetVehicle],
    positions: Sequence[str],
    answer: SharingAnswer,
    price_as: Callable[[int, str], str] = money_words,
) -> list[str]:
    """Say what is shared, and what that costs."""
    currency = fleet[0].prepared.evaluation.case.job.currency
    lines = [
        NOT_ALONE.format(name=vehicle.name)
        for vehicle, price in zip(fleet, answer.apart, strict=True)
        if price is None
    ]
    if not answer.choices:
        return [*lines, NOTHING.format(positions=" and ".join(positions))]
    best = answer.choices[0]
    lines.append(BEST.format(parts=_names(fleet, best)))
    lines.append(PRICE.format(price=price_as(best.price, currency)))
    if answer.cost is not None and answer.apart_price is not None:
        cost, apart = price_as(answer.cost, currency), price_as(answer.apart_price, currency)
        lines.append(COST.format(cost=cost, apart=apart) if answer.cost else FREE)
    for vehicle, over in zip(fleet, _over_budget(fleet, best), strict=True):
        if over:
            budget = price_as(vehicle.prepared.evaluation.case.job.budget or 0, currency)
            over_words = price_as(over, currency)
            lines.append(OVER.format(name=vehicle.name, over=over_words, budget=budget))
    if not all(choice.proven for choice in answer.choices):
        lines.append(UNPROVEN)
    return lines


def _over_budget(fleet: Sequence[FleetVehicle], choice: SharedChoice) -> list[int]:
    """Return by how much the price of each vehicle is over its job's budget [minor units]."""
    budgets = [vehicle.prepared.evaluation.case.job.budget for vehicle in fleet]
    return [
        0 if budget is None else max(price - budget, 0)
        for price, budget in zip(choice.prices, budgets, strict=True)
    ]


def choice_table(
    fleet: Sequence[FleetVehicle],
    answer: SharingAnswer,
    price_as: Callable[[int, str], str] = money_words,
) -> tuple[list[str], list[list[str]]]:
    """Return headings and rows: a choice, its price for one of each vehicle, and for all."""
    currency = fleet[0].prepared.evaluation.case.job.currency
    headings = [
        "shared",
        *(f"{vehicle.count} x {vehicle.name}" for vehicle in fleet),
        "all together",
    ]
    rows = [
        [
            _names(fleet, choice),
            *(price_as(price, currency) for price in choice.prices),
            price_as(choice.price, currency),
        ]
        for choice in answer.choices
    ]
    return headings, rows


def sharing_record(fleet: Sequence[FleetVehicle], answer: SharingAnswer) -> dict[str, Any]:
    """Return the same as plain data."""
    currency = fleet[0].prepared.evaluation.case.job.currency

    def money(amount: int | None) -> Any:
        return None if amount is None else money_record(amount, currency)

    return {
        "vehicles": [
            {"title": vehicle.name, "count": vehicle.count, "by_itself": money(price)}
            for vehicle, price in zip(fleet, answer.apart, strict=True)
        ],
        "by_themselves": money(answer.apart_price),
        "cost_of_sharing": money(answer.cost),
        "choices": [
            {
                "parts": dict(choice.parts),
                "prices": [money(price) for price in choice.prices],
                "over_budget": [money(over) for over in _over_budget(fleet, choice)],
                "price": money(choice.price),
                "proven": choice.proven,
            }
            for choice in answer.choices
        ],
    }
