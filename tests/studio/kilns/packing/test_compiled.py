"""Compiled functions answer what they say as written, also where nothing can be kept."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from numba import njit

from studio.kilns.packing import compiled, descent, overlap
from studio.kilns.packing.inputs import Shelf

from .test_overlap import Floats, crowd
from .wares import SHELVES


@pytest.mark.parametrize("shelf", SHELVES, ids=[each.shape for each in SHELVES])
def test_descent_comes_to_the_same_compiled_and_as_written(
    monkeypatch: pytest.MonkeyPatch, shelf: Shelf
) -> None:
    first, second = crowd(shelf, 6), crowd(shelf, 6)
    told = descent.descend(*first, 1e-9)
    for module in (overlap, descent):
        for name, value in list(vars(module).items()):
            if hasattr(value, "py_func"):
                monkeypatch.setattr(module, name, value.py_func)
    assert descent.descend(*second, 1e-9) == pytest.approx(told)
    assert second[2] == pytest.approx(first[2])


def test_where_nothing_can_be_kept_it_is_compiled_all_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def not_writable(function: Callable[..., Any], **options: Any) -> Any:
        if options.pop("cache", False):
            raise RuntimeError("no locator available")
        return njit(function, **options)

    def doubled(values: Floats) -> float:
        return float(2 * values.sum())

    monkeypatch.setattr(compiled, "njit", not_writable)
    assert compiled.compiled(doubled)(np.array([1.0, 2.0])) == 6
