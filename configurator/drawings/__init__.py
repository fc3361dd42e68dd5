"""Drawings of a vehicle and its figures: one geometry for screen and paper.

`draw_picture` gives the picture for a customer, `for_paper` what a sheet of paper needs, `draw` one
drawing by name, `draw_trade_off` a chart of prices against a figure whose levels a page can listen
to.

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
from configurator.drawings.trade_off_chart import ChartLevel, draw_trade_off
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
    "ChartLevel",
    "CustomerPicture",
    "Drawing",
    "Ink",
    "draw",
    "draw_picture",
    "draw_trade_off",
    "draw_views",
    "for_paper",
    "ink",
]
