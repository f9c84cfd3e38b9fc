"""Fewer points for a smaller file, with every extreme kept."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def keep_extremes(time_s: Floats, values: Floats, buckets: int) -> tuple[Floats, Floats]:
    """The first and last sample and, in each of `buckets` equal stretches of time, the least and the greatest.

    What a screen column can show of a curve is the range it covers in that column, so at one bucket per column the
    picture is the same; and the greatest sample of the whole history is always among those kept. Samples that are not
    numbers are kept as the gaps they are.

    Args:
        time_s: (n,) rising.
        values: (n,).
        buckets: number of stretches, at least 1.
    """
    if len(time_s) <= 2 * buckets + 2:
        return time_s, values
    span_s = time_s[-1] - time_s[0]
    bucket = np.minimum((buckets * (time_s - time_s[0]) / span_s).astype(np.int64), buckets - 1)
    order = np.lexsort((values, bucket))
    first_of_bucket = np.flatnonzero(np.r_[True, np.diff(bucket[order]) > 0])
    last_of_bucket = np.r_[first_of_bucket[1:] - 1, len(order) - 1]
    last_of_bucket = _step_over_gaps(values[order], first_of_bucket, last_of_bucket)
    gaps = np.flatnonzero(np.isnan(values))
    kept = np.unique(np.concatenate((order[first_of_bucket], order[last_of_bucket], gaps, [0, len(time_s) - 1])))
    return time_s[kept], values[kept]


def _step_over_gaps(ordered: Floats, first: NDArray[np.int64], last: NDArray[np.int64]) -> NDArray[np.int64]:
    """The last real number of each sorted bucket: sorting puts what is not a number after every number."""
    missing = np.concatenate(([0], np.cumsum(np.isnan(ordered))))
    return np.maximum(last - (missing[last + 1] - missing[first]), first)
