"""Columns of a frame of sizes as plain arrays: NaN and '' where the catalogue says nothing or has no such column."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    import pandas as pd

Column = NDArray[np.float64]
Flags = NDArray[np.bool_]


def number_of(frame: pd.DataFrame, name: str) -> Column:
    import pandas as pd

    if name not in frame.columns:
        return np.full(len(frame), np.nan)
    return np.asarray(pd.to_numeric(frame[name], errors="coerce").to_numpy(dtype=float, na_value=np.nan))


def middle_of(frame: pd.DataFrame, point: str) -> Column:
    low, high = number_of(frame, point), number_of(frame, f"{point}_to")
    return np.where(np.isnan(high), low, (low + high) / 2)


def spread_of(frame: pd.DataFrame, point: str) -> Column:
    low, high = number_of(frame, point), number_of(frame, f"{point}_to")
    return np.where(np.isnan(high), 0.0, np.abs(high - low) / 2)


def tolerance_of(frame: pd.DataFrame, point: str, usual: float) -> Column:
    minus, plus = number_of(frame, f"{point}_minus"), number_of(frame, f"{point}_plus")
    both = np.where(np.isnan(minus), usual, minus) + np.where(np.isnan(plus), usual, plus)
    return both / 2 + spread_of(frame, point)


def words_of(frame: pd.DataFrame, name: str) -> list[str]:
    if name not in frame.columns:
        return [""] * len(frame)
    return [value if isinstance(value, str) else "" for value in frame[name]]
