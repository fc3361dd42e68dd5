"""A small trade of its own: a shop that fits tyres, gears and lifted hubs to one cart."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest

from configurator.cli import main
from configurator.core import paths
from configurator.search.limits import Limits

PLUGIN = '''
"""What a cart is made of."""

from configurator.plugin import (
    Attribute, Condition, Family, Measure, Position,
    caution, computed, condition, figure, fit, limit, operation, part, vehicle,
)

TYRES = Family(
    "tyres", "Tyres", (Position("tyres"),),
    (
        Attribute("overall diameter", "Across the tread.", "mm"),
        Attribute("maker code", "Make.", kind="text"),
    ),
    pieces=4,
)
HUBS = Family(
    "hubs", "Hubs", (Position("hubs"),),
    (Attribute("drop", "How far the wheel sits below the axle.", "mm", when_empty=0.0),),
    optional=True,
)
ARCH = Measure("arch room", "From the wheel centre to the arch.", "tape", "mm")
FORD = Condition("ford depth", "Depth of the ford.", "mm", "200 mm")


@figure("clearance under the axle", unit="mm", source="geometry")
def clearance(
    diameter: float = part("tyres", "overall diameter"), drop: float = part("hubs", "drop")
):
    return diameter / 2 + drop - 0.1


@limit("the tyre clears the arch", unit="mm", at_least=20.0,
       because="mud needs room as well", source="geometry")
def arch(room: float = vehicle("arch room"), diameter: float = part("tyres", "overall diameter"),
         drop: float = part("hubs", "drop")):
    return room + drop - diameter / 2


@fit("tyres of this make suit the rims", because="its bead is too stiff", source="geometry")
def make(code: str = part("tyres", "maker code")):
    return code != "X"


@operation("fit the hubs", hours=3.0, uses={"gear oil": 2.0, "sealant": 1.0})
def fit_hubs(present: bool = part("hubs", "present")):
    return present


@caution("the hubs were changed", says="The wheels sit lower.", inspect="Look for leaks.",
         approve="a licensed engineer")
def hubs_changed(present: bool = part("hubs", "present")):
    return present
'''

FILES = {
    "plugins/cart.py": PLUGIN,
    "catalogs/shop/catalog.toml": 'title = "List of a shop"\ncurrency = "EUR"\n'
    'price_date = 2026-10-01\nsource = "invented"\n',
    "catalogs/shop/workshop.toml": 'title = "A shop"\nrate = "90 EUR"\n'
    '[consumables]\n"gear oil" = "14.50 EUR"\n',
    "catalogs/shop/tyres.csv": "part number,title,price [EUR],overall diameter [mm],maker code\n"
    "T-70,Tyre of [bold]seventy[/bold],100,700,A\n"
    "T-80,Tyre :smile: of eighty,150,800,A\n"
    "T-90,Tyre of ninety,200,900,A\n"
    "T-X,Tyre of another make,50,720,X\n",
    "catalogs/shop/hubs.csv": "part number,title,price [EUR],drop [mm]\n"
    "H-50,Hubs with a drop,900,50\n",
    "catalogs/shop/vehicles/cart.toml": 'title = "A cart"\n[figures]\n"arch room" = "430 mm"\n'
    '[fitted.tyres]\ntitle = "Old tyres"\n"overall diameter" = "660 mm"\n"maker code" = "A"\n',
}
JOB = 'title = "Over the ford"\nvehicle = "shop/cart"\ncatalogs = ["shop"]\n'


class Ran(NamedTuple):
    status: int
    out: str
    err: str


class Shop:
    """A folder with the trade, a catalog and jobs, and a way to run the program on it."""

    def __init__(self, folder: Path, capture: pytest.CaptureFixture[str]) -> None:
        self.folder = folder
        self.limits: Limits | None = None
        self._capture = capture
        for name, text in FILES.items():
            self.write(name, text)

    def write(self, name: str, text: str) -> Path:
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        return path

    def job(self, more: str = "", name: str = "job.toml") -> str:
        return str(self.write(name, JOB + more))

    def run(self, *arguments: str) -> Ran:
        self._capture.readouterr()
        with pytest.raises(SystemExit) as end:
            main(["--catalogs", str(self.folder / "catalogs"), *arguments], self.limits)
        out, err = self._capture.readouterr()
        assert "Traceback" not in err
        return Ran(int(end.value.code or 0), out, err)

    def command(self, *arguments: str) -> list[str]:
        """Return the command for a process of its own."""
        code = (
            "import pathlib; from configurator.core import paths; "
            "from configurator.cli import main; "
            f"paths.plugins = lambda: pathlib.Path({str(self.folder / 'plugins')!r}); main()"
        )
        named = ["--catalogs", str(self.folder / "catalogs"), *arguments]
        return [sys.executable, "-c", code, *named]

    def process(self, *arguments: str, **how: object) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            self.command(*arguments), capture_output=True, text=True, check=False, **how
        )


@pytest.fixture
def shop(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Shop:
    monkeypatch.setattr(paths, "plugins", lambda: tmp_path / "plugins")
    for name in ("FITWRIGHT_CATALOGS", "FITWRIGHT_PLUGINS"):
        monkeypatch.delenv(name, raising=False)
    return Shop(tmp_path, capsys)
