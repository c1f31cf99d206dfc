"""Wind along and across a direction, and the wind triangle both ways.

Wind is named by the direction it comes from, true, as in reports and forecasts; a runway's or
a course's magnetic direction must be turned into a true one first. East and north components
are those of the air's own motion, so they can be added and averaged.
"""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray, broadcast, check_range, wrap_360_deg

_MOST_WIND_KT: Final = 300.0  # own: above every wind reported or forecast
_MOST_TAS_KT: Final = 750.0


def wind_components_kt(
    direction_true_deg: ArrayLike, *, wind_from_true_deg: ArrayLike, wind_kt: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Wind against and across a direction: (headwind, crosswind).

    Parameters
    ----------
    direction_true_deg : array_like, shape S
        Runway direction, course or heading, true [deg].
    wind_from_true_deg : array_like, broadcast with S
        Direction the wind comes from, true [deg].
    wind_kt : array_like, broadcast with S
        Wind speed [kt], 0 to 300.

    Returns
    -------
    tuple of ndarray, broadcast shape
        Headwind [kt], negative for a tailwind, and crosswind [kt], positive from the right;
        NaN where an input is NaN.

    Raises
    ------
    RangeError
        If a direction lies outside -360 to 720 deg or a wind outside 0 to 300 kt.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [PHAK]_, chapter 11, crosswind and headwind component chart.

    Examples
    --------
    >>> head, cross = wind_components_kt(180.0, wind_from_true_deg=220.0, wind_kt=30.0)
    >>> round(float(head)), round(float(cross))
    (23, 19)
    """
    toward_deg, from_deg, speed_kt = broadcast(direction_true_deg, wind_from_true_deg, wind_kt)
    _check_direction("direction_true_deg", toward_deg)
    _check_wind(from_deg, speed_kt)
    angle_rad = np.radians(from_deg - toward_deg)
    return speed_kt * np.cos(angle_rad), speed_kt * np.sin(angle_rad)


def wind_triangle(
    course_true_deg: ArrayLike,
    tas_kt: ArrayLike,
    *,
    wind_from_true_deg: ArrayLike,
    wind_kt: ArrayLike,
) -> tuple[FloatArray, FloatArray]:
    """Wind correction angle that holds a course, and the ground speed along it.

    Parameters
    ----------
    course_true_deg : array_like, shape S
        Course to hold, true [deg].
    tas_kt : array_like, broadcast with S
        True airspeed [kt], 0 to 750.
    wind_from_true_deg : array_like, broadcast with S
        Direction the wind comes from, true [deg].
    wind_kt : array_like, broadcast with S
        Wind speed [kt], 0 to 300.

    Returns
    -------
    tuple of ndarray, broadcast shape
        Correction [deg], positive to the right, to be added to the course for the heading,
        and ground speed [kt]. Both NaN where an input is NaN and where the crosswind exceeds
        the true airspeed, so that no heading holds the course. A ground speed of zero or
        less means that the airplane points along the course and makes no headway.

    Raises
    ------
    RangeError
        If a direction lies outside -360 to 720 deg, a wind outside 0 to 300 kt or an
        airspeed outside 0 to 750 kt.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [PHAK]_, chapter 16, wind triangle.

    Examples
    --------
    >>> turn, ground = wind_triangle(90.0, 120.0, wind_from_true_deg=45.0, wind_kt=40.0)
    >>> round(float(turn)), round(float(ground))
    (-14, 88)
    """
    course_deg, speed_kt, from_deg, air_kt = broadcast(
        course_true_deg, tas_kt, wind_from_true_deg, wind_kt
    )
    _check_direction("course_true_deg", course_deg)
    check_range("tas_kt", speed_kt, 0.0, _MOST_TAS_KT, "kt")
    head_kt, cross_kt = wind_components_kt(course_deg, wind_from_true_deg=from_deg, wind_kt=air_kt)
    # Factored, the difference of squares keeps its digits where the two are nearly equal.
    along_squared = (speed_kt - cross_kt) * (speed_kt + cross_kt)
    along_kt = np.sqrt(np.where(along_squared >= 0.0, along_squared, np.nan))
    return np.degrees(np.arctan2(cross_kt, along_kt)), along_kt - head_kt


def track_made_good(
    heading_true_deg: ArrayLike,
    tas_kt: ArrayLike,
    *,
    wind_from_true_deg: ArrayLike,
    wind_kt: ArrayLike,
) -> tuple[FloatArray, FloatArray]:
    """Track over the ground and ground speed that a heading leads to.

    Parameters
    ----------
    heading_true_deg : array_like, shape S
        Heading, true [deg].
    tas_kt : array_like, broadcast with S
        True airspeed [kt], 0 to 750.
    wind_from_true_deg : array_like, broadcast with S
        Direction the wind comes from, true [deg].
    wind_kt : array_like, broadcast with S
        Wind speed [kt], 0 to 300.

    Returns
    -------
    tuple of ndarray, broadcast shape
        Track, true [deg], 0 to 360, and ground speed [kt], 0 or more; NaN where an input is
        NaN. Where the airplane stands still the track is 0.

    Raises
    ------
    RangeError
        If a direction lies outside -360 to 720 deg, a wind outside 0 to 300 kt or an
        airspeed outside 0 to 750 kt.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [PHAK]_, chapter 16, wind triangle.
    """
    heading_deg, speed_kt, from_deg, air_kt = broadcast(
        heading_true_deg, tas_kt, wind_from_true_deg, wind_kt
    )
    _check_direction("heading_true_deg", heading_deg)
    check_range("tas_kt", speed_kt, 0.0, _MOST_TAS_KT, "kt")
    wind_east_kt, wind_north_kt = wind_east_north_kt(from_deg, air_kt)
    heading_rad = np.radians(heading_deg)
    east_kt = speed_kt * np.sin(heading_rad) + wind_east_kt
    north_kt = speed_kt * np.cos(heading_rad) + wind_north_kt
    track_deg = wrap_360_deg(np.degrees(np.arctan2(east_kt, north_kt)))
    return track_deg, np.hypot(east_kt, north_kt)


def wind_east_north_kt(
    wind_from_true_deg: ArrayLike, wind_kt: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Motion of the air toward east and toward north.

    Parameters
    ----------
    wind_from_true_deg : array_like, shape S
        Direction the wind comes from, true [deg].
    wind_kt : array_like, broadcast with S
        Wind speed [kt], 0 to 300.

    Returns
    -------
    tuple of ndarray, broadcast shape
        Components toward east and north [kt]; NaN where an input is NaN.

    Raises
    ------
    RangeError
        If a direction lies outside -360 to 720 deg or a wind outside 0 to 300 kt.
    ShapeError
        If the inputs do not broadcast.

    Examples
    --------
    >>> east, north = wind_east_north_kt(270.0, 20.0)  # a west wind moves the air east
    >>> round(float(east)), round(float(north))
    (20, 0)
    """
    from_deg, speed_kt = broadcast(wind_from_true_deg, wind_kt)
    _check_wind(from_deg, speed_kt)
    from_rad = np.radians(from_deg)
    return -speed_kt * np.sin(from_rad), -speed_kt * np.cos(from_rad)


def wind_from_east_north(east_kt: ArrayLike, north_kt: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Direction and speed of a wind given by its components: inverse of wind_east_north_kt.

    Parameters
    ----------
    east_kt, north_kt : array_like, shapes that broadcast
        Motion of the air toward east and toward north [kt].

    Returns
    -------
    tuple of ndarray, broadcast shape
        Direction the wind comes from, true [deg], 0 to 360, and speed [kt]; NaN where an
        input is NaN. A calm comes from 0, as reports write it (00000KT).

    Raises
    ------
    ShapeError
        If the inputs do not broadcast.
    """
    toward_east_kt, toward_north_kt = broadcast(east_kt, north_kt)
    speed_kt = np.hypot(toward_east_kt, toward_north_kt)
    from_deg = wrap_360_deg(np.degrees(np.arctan2(-toward_east_kt, -toward_north_kt)))
    return np.where(speed_kt == 0.0, 0.0, from_deg), speed_kt


def _check_direction(name: str, direction_deg: FloatArray) -> None:
    check_range(name, direction_deg, -360.0, 720.0, "deg")


def _check_wind(from_deg: FloatArray, speed_kt: FloatArray) -> None:
    _check_direction("wind_from_true_deg", from_deg)
    check_range("wind_kt", speed_kt, 0.0, _MOST_WIND_KT, "kt")
