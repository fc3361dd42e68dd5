"""The demo's lists with a quarter of their parts: what is worked out over them is there soon.

What a page does with an answer does not hang on how many parts it was chosen from. Of the demo's
own lists are: the first answer, the price beside a part, and the whole talk in a browser.
"""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

from configurator.core import paths

if TYPE_CHECKING:
    from pathlib import Path

EVERY = 4
# What the cheapest packages of jobs that tests open are made of, sure and as calculated: with these
# among the parts, price and package are those of all lists.
CHEAPEST = """
AW-F15 CK-185-488P CS-F20 CS-R20 LM-G8D PTA-25585R16 RN-215-488 SD-550C SG-BD850 SG-BD980
SM16-65-5-E10 TS-F2827-760
AW-F30 FS16-7-6-E20 HB-F25 HF-74-30 LS-490 MC-238 QL-W10 TS-R3232-850 TSR-26575R16 ZS-525
HB-F75 HC-60B-F HC-60B-R LM-G8 LQ-D2-80 MFA-25580R17 PB17-75-6B-E40 SD-550 SG-RF840 SG-SW880
SK-M12-15-B24 TR-32 TS-F3027-C TS-R3232-C
"""


def write_short_lists(home: Path) -> Path:
    """Write the demo's catalog with short lists into a folder of catalogs; return the catalog."""
    folder, cheapest = home / "demo", set(CHEAPEST.split())
    shutil.copytree(paths.catalogs() / "demo", folder)
    for file in folder.glob("*.csv"):
        heading, *rows = file.read_text(encoding="utf-8").splitlines(keepends=True)
        kept = [
            row
            for number, row in enumerate(rows)
            if number % EVERY == 0 or row.partition(",")[0] in cheapest
        ]
        file.write_text("".join([heading, *kept]), encoding="utf-8")
    return folder
