"""Where parts sit along the vehicle, by the names of their places."""

from __future__ import annotations

from configurator.formulas.constants import Number

WHEELS_ON_THE_GROUND = 4
# Where things sit behind the front axle, as shares of the wheelbase: common practice, no source.
PLACES = {
    "front axle": 0.0,
    "rear axle": 1.0,
    "wheels": 0.5,
    "front body": -0.15,
    "middle": 0.5,
    "rear body": 1.2,
    "": 0.5,
}


def behind_front_axle(place: str, pieces: Number, wheelbase: Number) -> Number:
    """How far a position's pieces sit behind the front axle, on average.

    Parameters
    ----------
    place : str
        Where the position is: a key of `PLACES`; of more than four wheels the rest are spares.
    pieces : float
        How many pieces it takes [-].
    wheelbase : float
        Distance between the axles [m].

    Returns
    -------
    float
        Distance behind the front axle, negative ahead of it [m].

    References
    ----------
    .. [1] The shares are common practice, no source.

    Examples
    --------
    >>> round(behind_front_axle("wheels", 5.0, 2.81), 4)
    1.7984
    """
    share = PLACES.get(place, PLACES[""])
    if place == "wheels" and pieces > WHEELS_ON_THE_GROUND:
        spares = pieces - WHEELS_ON_THE_GROUND
        share = (share * WHEELS_ON_THE_GROUND + PLACES["rear body"] * spares) / pieces
    return share * wheelbase
