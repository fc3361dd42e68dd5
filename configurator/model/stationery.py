"""What a document says of the shop and of its customer beside the package itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Customer:
    """Who ordered, and which vehicle it is: only what the job says, all of it may be missing.

    Parameters
    ----------
    name, address
        Of the customer; the address line by line.
    reference
        What the customer calls the order.
    registration, vin
        Number plate and vehicle identification number.
    mileage
        As the odometer shows it [m]; None if it was not read.
    """

    name: str = ""
    address: tuple[str, ...] = ()
    reference: str = ""
    registration: str = ""
    vin: str = ""
    mileage: float | None = None


@dataclass(frozen=True, slots=True)
class Logo:
    """A picture that was checked: nothing in it loads, runs or refers to anything else.

    ``data`` are the bytes of the file.
    """

    kind: Literal["png", "svg"]
    data: bytes


@dataclass(frozen=True, slots=True)
class Stationery:
    """The head and the small print of a shop's documents.

    Parameters
    ----------
    address
        Line by line.
    contact
        Telephone, electronic mail and the like, line by line.
    tax_number
        As the tax office gives it.
    logo
        None for none.
    terms, payment
        On what terms work is done, and how it is paid.
    """

    address: tuple[str, ...] = ()
    contact: tuple[str, ...] = ()
    tax_number: str = ""
    logo: Logo | None = None
    terms: str = ""
    payment: str = ""
