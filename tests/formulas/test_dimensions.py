"""Prove the dimension of every formula's result, from the units its docstring states.

Each public formula is called with pint quantities in the bracketed units of its parameters. That
the result has the bracketed unit of the result shows that no term was forgotten or squared once
too often; that one parameter in a wrong unit spoils it shows that the proof can fail.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import pint
import pytest

import configurator.formulas
from configurator.core.units import registry

if TYPE_CHECKING:
    from collections.abc import Callable

TEXT_AND_TABLES = {
    "places.behind_front_axle": "looks the name of a place up in a table",
    "tyre_sizes.parse": "reads text",
    "tyre_sizes.capacity": "looks a load index up in a table",
    "tyre_sizes.rated_speed": "looks a speed symbol up in a table",
}

_SECTION = r"\n{name}\n-+\n(.*?)(?=\n\n[A-Z][a-z]+\n-{{3,}}\n|\Z)"
_PARAMETER = re.compile(r"^(\w+) : ([^\n]+)\n((?:    [^\n]*\n?)+)", re.MULTILINE)
_UNIT = re.compile(r"\[([^\[\]]+)\]\.?\s*\Z")


@dataclass(frozen=True, slots=True)
class Formula:
    """A public formula with the units that its docstring states."""

    name: str
    call: Callable[..., Any]
    parameters: dict[str, tuple[str, str]]
    result: tuple[str, str]


def section(text: str, name: str) -> str:
    match = re.search(_SECTION.format(name=name), text, re.DOTALL)
    return match[1] + "\n" if match else ""


def stated_unit(text: str) -> str:
    match = _UNIT.search(text)
    return match[1] if match else ""


def read(name: str, call: Callable[..., Any]) -> Formula:
    text = inspect.getdoc(call) or ""
    parameters = {
        match[1]: (match[2], stated_unit(match[3]))
        for match in _PARAMETER.finditer(section(text, "Parameters"))
    }
    kind, _, meaning = section(text, "Returns").partition("\n")
    return Formula(name, call, parameters, (kind, stated_unit(meaning)))


def formulas() -> list[Formula]:
    units_found = []
    for module in pkgutil.iter_modules(configurator.formulas.__path__):
        loaded = importlib.import_module(f"configurator.formulas.{module.name}")
        units_found += [
            read(f"{module.name}.{name}", call)
            for name, call in inspect.getmembers(loaded, inspect.isfunction)
            if call.__module__ == loaded.__name__ and not name.startswith("_")
        ]
    return units_found


ALL = formulas()
CALLED = [formula for formula in ALL if formula.name not in TEXT_AND_TABLES]
EVERY = pytest.mark.parametrize("formula", CALLED, ids=lambda formula: formula.name)


def unit(text: str) -> Any:
    return registry.Unit("" if text == "-" else text)


def arguments(formula: Formula, wrong: str = "") -> dict[str, Any]:
    """Quantities in the stated units; the parameter named ``wrong`` in candela times its unit.

    Of a sequence, only the first: all masses of a weighted mean may well be in another unit.
    """
    given: dict[str, Any] = {}
    for count, (name, (kind, stated)) in enumerate(formula.parameters.items()):
        size = 0.9 - 0.07 * count
        if kind == "int":
            given[name] = 5 + count
            continue
        right = registry.Quantity(size, unit(stated))
        first = right * registry.candela if name == wrong else right
        given[name] = [first, 2 * right] if kind.startswith("sequence") else first
    return given


def plain(value: Any) -> Any:
    """The same argument as a float in SI."""
    if isinstance(value, list):
        return [plain(element) for element in value]
    if isinstance(value, registry.Quantity):
        return value.to_base_units().magnitude
    return value


def results(value: Any) -> list[Any]:
    return list(value.values()) if isinstance(value, dict) else [value]


def test_the_walk_finds_the_formulas() -> None:
    assert {"tyres.static_loaded_radius", "traction.grade", "mass.total_mass"} <= {
        formula.name for formula in CALLED
    }
    assert set(TEXT_AND_TABLES) <= {formula.name for formula in ALL}


@EVERY
def test_docstring_states_a_unit_for_every_number(formula: Formula) -> None:
    assert list(formula.parameters) == list(inspect.signature(formula.call).parameters)
    for kind, stated in formula.parameters.values():
        assert kind in {"float", "int", "sequence of float"}
        assert kind == "int" or unit(stated) is not None
        assert kind == "int" or stated, "a float parameter without a bracketed unit"
    kind, stated = formula.result
    assert kind in {"float", "bool", "dict of str to bool"}
    assert bool(stated) == (kind == "float"), "a float result without a bracketed unit"


@EVERY
def test_result_has_the_stated_dimension(formula: Formula) -> None:
    kind, stated = formula.result
    for result in results(formula.call(**arguments(formula))):
        if kind == "float":
            assert registry.Quantity(result).dimensionality == unit(stated).dimensionality
        else:
            assert isinstance(result, bool)


@EVERY
def test_a_parameter_in_a_wrong_unit_spoils_the_result(formula: Formula) -> None:
    _, stated = formula.result
    for name, (kind, _) in formula.parameters.items():
        if kind == "int":
            continue
        try:
            result = formula.call(**arguments(formula, wrong=name))
        except pint.DimensionalityError:
            continue
        dimension = registry.Quantity(result).dimensionality
        assert dimension != unit(stated or "-").dimensionality, f"{name} has no part in the result"


@EVERY
def test_floats_in_si_give_the_same_number(formula: Formula) -> None:
    given = arguments(formula)
    with_units = formula.call(**given)
    without = formula.call(**{name: plain(value) for name, value in given.items()})
    for quantity, number in zip(results(with_units), results(without), strict=True):
        assert not isinstance(number, registry.Quantity)
        assert plain(quantity) == pytest.approx(number, rel=1e-9)
