"""Read what the documents say of the shop, from workshop.toml, and of the customer, from a job."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.core.text import shown
from configurator.files import toml_files
from configurator.files.logos import read_logo
from configurator.model.parts import Attribute
from configurator.model.stationery import Customer, Logo, Stationery

if TYPE_CHECKING:
    from pathlib import Path

    from configurator.files.toml_files import TomlTable

STATIONERY_KEYS = ("address", "contact", "tax number", "logo", "terms", "payment")
CUSTOMER_KEYS = ("name", "address", "reference", "registration", "vin", "mileage")
# ISO 3779, 3.3 and 4.2 (from memory): 17 signs, without I, O and Q.
_VIN_SIGNS = frozenset("ABCDEFGHJKLMNPRSTUVWXYZ0123456789")
_VIN_LENGTH = 17
_MILEAGE = Attribute("mileage", "As the odometer shows it.", "km", at_least=0.0, at_most=5e6)


def read_stationery(top: TomlTable, folder: Path) -> Stationery:
    """Read the head and the small print of a shop's documents.

    Parameters
    ----------
    top
        The table of ``workshop.toml``; its report takes the problems.
    folder
        In which the logo is.
    """
    logo: Logo | None = None
    name = toml_files.text(top, "logo")
    if name is not None:
        if "/" in name or "\\" in name or name.startswith("."):
            top.report.error(
                top.place("logo"), f"{shown(name)} is a path", "put it beside workshop.toml"
            )
        else:
            logo = read_logo(folder / name, top.place("logo"), top.report)
    return Stationery(
        _lines(top, "address"),
        _lines(top, "contact"),
        toml_files.text(top, "tax number") or "",
        logo,
        toml_files.text(top, "terms", lines=True) or "",
        toml_files.text(top, "payment", lines=True) or "",
    )


def read_customer(table: TomlTable) -> Customer | None:
    """Read who ordered, and which vehicle it is; None if the job does not say."""
    toml_files.refuse_unknown(table, CUSTOMER_KEYS)
    if not table.entries:
        return None
    mileage = toml_files.value(table, "mileage", _MILEAGE)
    vin = (toml_files.text(table, "vin") or "").upper()
    if vin and (len(vin) != _VIN_LENGTH or not set(vin) <= _VIN_SIGNS):
        table.report.warn(
            table.place("vin"),
            f"{shown(vin)} is no vehicle identification number of today: 17 signs, no I, O or Q",
            "compare it with the plate; older vehicles have shorter ones",
        )
    return Customer(
        toml_files.text(table, "name") or "",
        _lines(table, "address"),
        toml_files.text(table, "reference") or "",
        toml_files.text(table, "registration") or "",
        vin,
        float(mileage) if isinstance(mileage, int | float) else None,
    )


def _lines(table: TomlTable, key: str) -> tuple[str, ...]:
    """Take a text, or several lines of it."""
    value = table.entries.get(key, ())
    if isinstance(value, str):
        value = [line for line in value.splitlines() if line.strip()]
    if not isinstance(value, list | tuple) or not all(isinstance(line, str) for line in value):
        example = f'write {toml_files.spelt(key)} = ["...", "..."]'
        table.report.error(table.place(key), f"{shown(value)} is no list of lines", example)
        return ()
    return toml_files.cleaned(table, key, value)
