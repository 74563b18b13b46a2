"""The distinct combinations of some axes among candidates."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trailerlib.studies.trade_offs.axes import Index

DENSE = 20_000_000  # combinations up to which a plain list says where each one's answer is


class Distinct:
    """The distinct combinations of some axes among candidates, numbered as they are met."""

    def __init__(self, sizes: Sequence[int]) -> None:
        self.sizes = tuple(sizes)
        total = 1
        for size in sizes:
            total *= size
        self.total = total
        self._dense = np.full(total, -1, dtype=np.int32) if total <= DENSE else None
        self._sparse: dict[int, int] = {}
        self.count = 0

    def number(self, at: Sequence[NDArray[Any]], count: int) -> tuple[Index, Index]:
        """Number of every row's combination, and a row for each combination not met before, in its order.

        Parameters
        ----------
        at : places on the axes, (n,) each
        count : [-] rows, n
        """
        code: NDArray[np.int64] = np.zeros(count, dtype=np.int64)
        for size, column in zip(self.sizes, at, strict=True):
            code *= size
            code += column
        if self._dense is not None:
            fresh = self._dense[code] < 0
            codes = code[fresh]
            found, first = np.unique(codes, return_index=True)
            rows = np.flatnonzero(fresh)[first]
            self._dense[found] = np.arange(self.count, self.count + len(found), dtype=np.int32)
            self.count += len(found)
            return self._dense[code].astype(np.intp), rows
        found, first, back = np.unique(code, return_index=True, return_inverse=True)
        numbers, new = np.empty(len(found), dtype=np.intp), list[int]()
        for k, value in enumerate(found.tolist()):
            if value not in self._sparse:
                self._sparse[value] = self.count
                self.count += 1
                new.append(int(first[k]))
            numbers[k] = self._sparse[value]
        return numbers[back], np.array(new, dtype=np.intp)
