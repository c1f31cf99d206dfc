"""The center-of-gravity envelope: which arms are allowed at a weight, and with what margin.

The envelope is a polygon of arm and weight with straight edges that belong to it, in either
sense, dented or not. At one weight it leaves one span of arms, or several beside a dent.
"""

from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike

from lubberline.aircraft.model import LoadingLimits
from lubberline.arrays import BoolArray, FloatArray, broadcast
from lubberline.line import ROUNDING


def arm_limits_in(
    limits: LoadingLimits, weight_lb: ArrayLike, *, near_in: ArrayLike | None = None
) -> tuple[FloatArray, FloatArray]:
    """Most forward and most aft center of gravity that the envelope allows at a weight.

    Parameters
    ----------
    limits : LoadingLimits
        With the envelope's corners in order.
    weight_lb : array_like, shape S
        Weight [lb].
    near_in : array_like, broadcast with S, optional
        An arm [in]. Where a dent in the envelope leaves several spans at one weight, the one
        nearest this arm; without it, the widest. Either choice lies inside the envelope, so
        that no arm outside can pass.

    Returns
    -------
    tuple of ndarray, broadcast shape
        Forward and aft limit [in]; NaN where the envelope has no such weight or an input is
        NaN.

    Raises
    ------
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [PHAK]_, chapter "Weight and Balance", center of gravity limits and envelope graphs.
    """
    at_lb, near = broadcast(weight_lb, np.nan if near_in is None else near_in)
    wanted = np.ones(at_lb.shape, dtype=bool) if near_in is None else ~np.isnan(near)
    forward_in, aft_in = _spans_in(limits, _snapped_lb(limits, at_lb))
    gap_in = np.maximum(forward_in - near[..., None], near[..., None] - aft_in)
    gap_in = np.where(np.isnan(near)[..., None], 0.0, np.maximum(gap_in, 0.0))
    gap_in = np.where(np.isnan(forward_in), np.inf, gap_in)
    narrow_in = np.where(np.isnan(forward_in), np.inf, forward_in - aft_in)
    best = np.lexsort((narrow_in, gap_in), axis=-1)[..., :1]
    chosen = (
        np.take_along_axis(forward_in, best, axis=-1)[..., 0],
        np.take_along_axis(aft_in, best, axis=-1)[..., 0],
    )
    return np.where(wanted, chosen[0], np.nan), np.where(wanted, chosen[1], np.nan)


def arm_margin_in(limits: LoadingLimits, weight_lb: ArrayLike, arm_in: ArrayLike) -> FloatArray:
    """Distance from a center of gravity to the nearer limit at its weight; negative outside.

    Parameters
    ----------
    limits : LoadingLimits
        With the envelope's corners in order.
    weight_lb, arm_in : array_like, broadcast to S
        Weight [lb] and center of gravity [in].

    Returns
    -------
    ndarray, shape S
        Margin [in]; NaN where the envelope has no such weight or an input is NaN.

    Raises
    ------
    ShapeError
        If the inputs do not broadcast.
    """
    at_lb, at_in = broadcast(weight_lb, arm_in)
    forward_in, aft_in = arm_limits_in(limits, at_lb, near_in=at_in)
    return np.minimum(at_in - forward_in, aft_in - at_in)


def utility_of(limits: LoadingLimits) -> LoadingLimits | None:
    """The same airplane held to the envelope of the utility category; None if it has none."""
    if not limits.utility_lb.size:
        return None
    return replace(limits, envelope_arm_in=limits.utility_arm_in, envelope_lb=limits.utility_lb)


def _snapped_lb(limits: LoadingLimits, weight_lb: FloatArray) -> FloatArray:
    """The weight, or the corner's weight where only float noise lies between them."""
    for corner_lb in np.unique(limits.envelope_lb):
        close = np.abs(weight_lb - corner_lb) <= ROUNDING * corner_lb
        weight_lb = np.where(close, corner_lb, weight_lb)
    return weight_lb


def _spans_in(limits: LoadingLimits, weight_lb: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Spans of arm inside the envelope at each weight, shape (..., spans); NaN where none.

    A level edge is the end of the part below it or above it: both are looked at, so that the
    edge itself belongs to the inside.
    """
    here = weight_lb[..., None]
    first_lb, second_lb = limits.envelope_lb, np.roll(limits.envelope_lb, -1)
    low_lb, high_lb = np.minimum(first_lb, second_lb), np.maximum(first_lb, second_lb)
    below = _crossings_in(limits, here, (low_lb < here) & (here <= high_lb))
    above = _crossings_in(limits, here, (low_lb <= here) & (here < high_lb))
    spans = np.concatenate([below, above], axis=-1)
    return spans[..., 0::2], spans[..., 1::2]


def _crossings_in(limits: LoadingLimits, weight_lb: FloatArray, crossed: BoolArray) -> FloatArray:
    """Arms at which edges are crossed, ascending, NaN behind; always an even number."""
    first_in, second_in = limits.envelope_arm_in, np.roll(limits.envelope_arm_in, -1)
    first_lb, second_lb = limits.envelope_lb, np.roll(limits.envelope_lb, -1)
    rise_lb = np.where(second_lb == first_lb, 1.0, second_lb - first_lb)
    part = (weight_lb - first_lb) / rise_lb
    arm_in = (1.0 - part) * first_in + part * second_in
    crossing_in = np.sort(np.where(crossed, arm_in, np.nan), axis=-1)
    return np.pad(
        crossing_in,
        [(0, 0)] * (crossing_in.ndim - 1) + [(0, crossing_in.shape[-1] % 2)],
        constant_values=np.nan,
    )
