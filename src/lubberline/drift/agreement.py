"""How well a pilot's own marks agree with what was measured, and how well chances are judged."""

from dataclasses import dataclass
from math import sqrt
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray
from lubberline.errors import RangeError, ShapeError

Weights = Literal["none", "linear", "quadratic"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Kappa:
    """Agreement beyond chance: 1 is perfect, 0 is chance; ``sigma_ratio`` its standard error.

    ``weights`` say how a near miss counts and belong beside every kappa.
    """

    kappa_ratio: float
    sigma_ratio: float
    weights: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChanceMarks:
    """The mean squared miss of stated chances and its parts; smaller is better, except resolution.

    ``score`` = ``reliability`` - ``resolution`` + ``uncertainty``: how far stated chances are
    from what came, how much they tell good flights from bad, and what any statement faces.
    """

    score_ratio: float
    reliability_ratio: float
    resolution_ratio: float
    uncertainty_ratio: float


def kappa(table: ArrayLike, weights: Weights | ArrayLike = "quadratic") -> Kappa:
    """Agreement of two ratings, from a square table of counts or proportions.

    Parameters
    ----------
    table : array_like, shape (m, m)
        How often the first gave the mark of the row and the second that of the column.
    weights : str or array_like, shape (m, m)
        "none": a miss is a miss; "linear", "quadratic": by distance, 1 for the widest; or
        disagreement weights with 0 on the diagonal.

    Raises
    ------
    ShapeError, RangeError
        If the table is not square, empty or negative, or if both ratings always gave one mark.

    References
    ----------
    [COHEN1968]_; the standard error of [FLEISS1969]_, which needs counts.
    """
    counts = np.asarray(table, dtype=float)
    if counts.ndim != 2 or counts.shape[0] != counts.shape[1] or counts.shape[0] < 2:
        raise ShapeError(f"the table has shape {counts.shape}; expected m by m, m at least 2")
    total = counts.sum()
    if not total > 0.0 or (counts < 0.0).any():
        raise RangeError("the table must hold counts, none negative and not all zero")
    miss = _miss_weights(weights, counts.shape[0])
    seen, rows, columns = _shares(counts / total)
    expected = float((miss * np.outer(rows, columns)).sum())
    if not expected > 0.0:
        raise RangeError("both ratings gave one mark only: agreement beyond chance is not defined")
    ratio = 1.0 - float((miss * seen).sum()) / expected
    sigma = _kappa_sigma(1.0 - miss / miss.max(), seen, rows, columns) / sqrt(total)
    name = weights if isinstance(weights, str) else "given"
    return Kappa(kappa_ratio=ratio, sigma_ratio=sigma, weights=name)


def marks_table(first: ArrayLike, second: ArrayLike, *, mark_count: int) -> FloatArray:
    """Table of counts from two columns of marks 0 to ``mark_count`` - 1, shape (m, m)."""
    first, second = np.asarray(first, dtype=np.int64), np.asarray(second, dtype=np.int64)
    if first.shape != second.shape or first.ndim != 1:
        raise ShapeError(f"marks {first.shape} and {second.shape} must share one 1-d shape")
    if first.size and min(first.min(), second.min()) < 0:
        raise RangeError("marks count from 0")
    table = np.zeros((mark_count, mark_count))
    np.add.at(table, (first, second), 1.0)
    return table


def chance_marks(stated_fraction: ArrayLike, came: ArrayLike) -> ChanceMarks:
    """The Brier score of stated chances and its exact parts, one bin per stated chance.

    Parameters
    ----------
    stated_fraction, came : array_like, shape (n,)
        Chances from 0 to 1, and whether it came (1) or not (0).

    References
    ----------
    [WILKS1995]_ 7.4.3: score, reliability, resolution and uncertainty.
    """
    stated, came = np.asarray(stated_fraction, dtype=float), np.asarray(came, dtype=float)
    if stated.shape != came.shape or stated.ndim != 1 or not stated.size:
        raise ShapeError(f"chances {stated.shape} and outcomes {came.shape}: expected n of each")
    if not ((stated >= 0.0) & (stated <= 1.0)).all():
        raise RangeError("a chance lies between 0 and 1")
    bins, where = np.unique(stated, return_inverse=True)
    number = np.bincount(where)
    hit_fraction = np.bincount(where, weights=came) / number
    return chance_marks_of_bins(bins, hit_fraction, number)


def chance_marks_of_bins(
    stated_fraction: ArrayLike, hit_fraction: ArrayLike, weight_factor: ArrayLike
) -> ChanceMarks:
    """The same from bins: stated chance, share that came, and how many, each shape (m,)."""
    stated, hit = np.asarray(stated_fraction, dtype=float), np.asarray(hit_fraction, dtype=float)
    share = np.asarray(weight_factor, dtype=float) / np.sum(weight_factor)
    base = float((share * hit).sum())
    reliability = float((share * (stated - hit) ** 2).sum())
    resolution = float((share * (hit - base) ** 2).sum())
    uncertainty = base * (1.0 - base)
    return ChanceMarks(
        score_ratio=reliability - resolution + uncertainty,
        reliability_ratio=reliability,
        resolution_ratio=resolution,
        uncertainty_ratio=uncertainty,
    )


def _miss_weights(weights: Weights | ArrayLike, count: int) -> FloatArray:
    apart = np.abs(np.subtract.outer(np.arange(count), np.arange(count))).astype(float)
    match weights:
        case "none":
            return np.asarray(np.sign(apart))
        case "linear":
            return apart / (count - 1)
        case "quadratic":
            return (apart / (count - 1)) ** 2
    given = np.asarray(weights, dtype=float)
    if given.shape != apart.shape or np.diag(given).any() or (given < 0.0).any():
        raise ShapeError("weights must have the table's shape, none negative, 0 on the diagonal")
    return given


def _shares(seen: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    return seen, seen.sum(axis=1), seen.sum(axis=0)


def _kappa_sigma(
    agree: FloatArray, seen: FloatArray, rows: FloatArray, columns: FloatArray
) -> float:
    """Standard error of a weighted kappa, times the root of the number rated [FLEISS1969]_."""
    by_row, by_column = agree @ columns, rows @ agree
    observed = float((agree * seen).sum())
    chance = float((agree * np.outer(rows, columns)).sum())
    inner = agree * (1.0 - chance) - (by_row[:, None] + by_column[None, :]) * (1.0 - observed)
    variance = (seen * inner**2).sum() - (observed * chance - 2.0 * chance + observed) ** 2
    return sqrt(max(float(variance), 0.0)) / (1.0 - chance) ** 2
