"""Room: under the axles and the body, over the tyres, across the vehicle, and the ramp angles."""

from __future__ import annotations

import numpy as np

from configurator.formulas.constants import Number


def differential_clearance(
    static_loaded_radius: Number, drop: Number, housing_radius: Number, guard: Number
) -> Number:
    """Clearance under the differential.

    Parameters
    ----------
    static_loaded_radius : float
        Static loaded radius of the tyres on this axle [m].
    drop : float
        By how much the hubs hold the wheel centres below the axle line, 0 without [m].
    housing_radius : float
        From the axle line to the lowest point of the housing [m].
    guard : float
        Thickness of a guard under the housing, gap included, 0 without [m].

    Returns
    -------
    float
        Axle clearance [m].

    References
    ----------
    .. [1] 49 CFR 523.2 (2015 edition), "axle clearance".

    Examples
    --------
    >>> round(differential_clearance(0.400, 0.100, 0.150, 0.0), 3)
    0.35
    """
    return static_loaded_radius + drop - housing_radius - guard


def hub_box_clearance(static_loaded_radius: Number, depth: Number) -> Number:
    """Clearance under the box of a geared hub reduction.

    Parameters
    ----------
    static_loaded_radius : float
        Static loaded radius of the tyres on this axle [m].
    depth : float
        From the wheel centre down to the lowest point of the box, guard included [m].

    Returns
    -------
    float
        Clearance under the box [m].

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(hub_box_clearance(0.440, 0.110), 3)
    0.33
    """
    return static_loaded_radius - depth


def axle_rise(radius_before: Number, radius_after: Number, drop: Number) -> Number:
    """How much higher the axle tube stands after a change of tyres and hubs.

    Parameters
    ----------
    radius_before : float
        Static loaded radius before [m].
    radius_after : float
        Static loaded radius after [m].
    drop : float
        Hub drop after, less hub drop before [m].

    Returns
    -------
    float
        Rise of the axle tube [m].

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(axle_rise(0.390, 0.440, 0.0965), 4)
    0.1465
    """
    return radius_after - radius_before + drop


def body_rise(radius_before: Number, radius_after: Number, drop: Number, lift: Number) -> Number:
    """How much higher a point of the body stands: running clearance, sill, entry.

    Parameters
    ----------
    radius_before : float
        Static loaded radius before [m].
    radius_after : float
        Static loaded radius after [m].
    drop : float
        Hub drop after, less hub drop before [m].
    lift : float
        By how much the springs hold the body further above the axle [m].

    Returns
    -------
    float
        Rise of the body [m].

    Notes
    -----
    The springs stand on the axle, so a hub drop raises the body too. Exact when both axles rise
    alike; otherwise for a point straight above this axle.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(body_rise(0.390, 0.440, 0.0965, 0.050), 4)
    0.1965
    """
    return axle_rise(radius_before, radius_after, drop) + lift


def ramp_angle(distance: Number, height: Number, static_loaded_radius: Number) -> Number:
    """Steepest ramp that a hard point clears as the tyre meets it: approach or departure angle.

    Parameters
    ----------
    distance : float
        From the wheel centre to the hard point, along the ground [m].
    height : float
        Height of the hard point above the ground [m].
    static_loaded_radius : float
        Static loaded radius [m].

    Returns
    -------
    float
        Approach angle for a point ahead of the front wheels, departure angle for one behind the
        rear wheels [rad].

    Notes
    -----
    The angle between the ground and the line through the hard point that touches the static
    loaded radius arc. The smallest over all hard points counts. Inside the arc, where the tyre
    gets to everything before the point does, a point counts as if it lay on the arc.

    References
    ----------
    .. [1] 49 CFR 523.2 (2015 edition), "approach angle" and "departure angle"; ISO 612:1978.

    Examples
    --------
    >>> f"{np.degrees(ramp_angle(0.600, 0.450, 0.400)):.2f}"
    '46.40'
    """
    above_centre = height - static_loaded_radius
    away = (distance**2 + above_centre**2) ** 0.5
    touch = np.arcsin(np.minimum(static_loaded_radius / away, 1.0))
    return np.arctan2(above_centre, distance) + touch


def breakover_angle(
    behind_front: Number, ahead_of_rear: Number, height: Number, static_loaded_radius: Number
) -> Number:
    """Sharpest crest that a hard point between the axles clears.

    Parameters
    ----------
    behind_front : float
        From the front wheel centre back to the hard point [m].
    ahead_of_rear : float
        From the rear wheel centre forward to the hard point [m].
    height : float
        Height of the hard point above the ground [m].
    static_loaded_radius : float
        Static loaded radius, alike front and rear [m].

    Returns
    -------
    float
        Breakover angle [rad].

    Notes
    -----
    The smallest over all hard points counts. The usual ``2 atan(2 h / L)`` leaves the tyres out
    and comes out some 3 % low.

    References
    ----------
    .. [1] 49 CFR 523.2 (2015 edition), "breakover angle"; ISO 612:1978.

    Examples
    --------
    >>> f"{np.degrees(breakover_angle(1.25, 1.25, 0.250, 0.400)):.2f}"
    '23.36'
    """
    front = ramp_angle(behind_front, height, static_loaded_radius)
    rear = ramp_angle(ahead_of_rear, height, static_loaded_radius)
    return front + rear


def track(hub_face_distance: Number, offset: Number) -> Number:
    """Distance between the tyre centrelines of an axle.

    Parameters
    ----------
    hub_face_distance : float
        Between the faces the wheels mount to, hub reductions included [m].
    offset : float
        Offset of the wheels, spacers included [m].

    Returns
    -------
    float
        Track [m].

    Notes
    -----
    Camber left out, as on a solid axle.

    References
    ----------
    .. [1] 49 CFR 523.2 (2015 edition), "track width"; ISO 612:1978.

    Examples
    --------
    >>> round(track(1.524, -0.012), 3)
    1.548
    """
    return hub_face_distance - 2 * offset


def overall_width(track: Number, section_width: Number) -> Number:
    """Width of an axle over its tyres.

    Parameters
    ----------
    track : float
        Track [m].
    section_width : float
        Section width of the tyre on its rim [m].

    Returns
    -------
    float
        Width over the tyres [m].

    Notes
    -----
    Without the bulge of a loaded tyre where it stands.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(overall_width(1.548, 0.318), 3)
    1.866
    """
    return track + section_width


def scrub_radius_change(
    outward_shift: Number, radius_change: Number, kingpin_inclination: Number
) -> Number:
    """Change of the scrub radius with wheels, hubs and tyres.

    Parameters
    ----------
    outward_shift : float
        How far the tyre centreline moves outboard against the knuckle: less offset, wider hub
        face [m].
    radius_change : float
        Static loaded radius after less before [m].
    kingpin_inclination : float
        Inclination of the kingpin seen from the front [rad].

    Returns
    -------
    float
        Change of the scrub radius, positive when the tyre moves outboard of the steering axis [m].

    References
    ----------
    .. [1] ISO 8855, "steering-axis offset at ground" (clause from memory).

    Examples
    --------
    >>> f"{scrub_radius_change(0.0, 0.040, np.radians(8.5)):.5f}"
    '-0.00598'
    """
    return outward_shift - radius_change * np.tan(kingpin_inclination)


def arch_gap(room_above_axle: Number, drop: Number, free_radius: Number) -> Number:
    """Gap between the tyre and the arch at full bump.

    Parameters
    ----------
    room_above_axle : float
        From the axle line up to the arch at full bump [m].
    drop : float
        By how much the hubs hold the wheel centres below the axle line, 0 without [m].
    free_radius : float
        Half the overall diameter of the tyre [m].

    Returns
    -------
    float
        Gap, negative when the tyre touches [m].

    Notes
    -----
    A tyre bigger by d needs d/2 more room. The free radius counts, since the side of the tyre
    toward the arch is not flattened.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(arch_gap(0.412, 0.0, 0.4154), 4)
    -0.0034
    """
    return room_above_axle + drop - free_radius
