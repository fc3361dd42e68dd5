"""Drawings of a vehicle and its figures: one geometry for screen and paper.

`draw_picture` gives the picture for a customer, `for_paper` what a sheet of paper needs, `draw` one
drawing by name.

Imports `configurator.evaluation` and `configurator.wording`; documents and pages import it.

Begin with `views`.
"""

from configurator.drawings.ink import DARK, LIGHT, OF_PAGE, Ink, ink
from configurator.drawings.picture import (
    BESIDE,
    NARROW,
    PICTURES,
    WIDE,
    CustomerPicture,
    draw_picture,
)
from configurator.drawings.svg import Drawing, draw_views
from configurator.drawings.views import VIEWS, draw, for_paper

__all__ = [
    "BESIDE",
    "DARK",
    "LIGHT",
    "NARROW",
    "OF_PAGE",
    "PICTURES",
    "VIEWS",
    "WIDE",
    "CustomerPicture",
    "Drawing",
    "Ink",
    "draw",
    "draw_picture",
    "draw_views",
    "for_paper",
    "ink",
]
