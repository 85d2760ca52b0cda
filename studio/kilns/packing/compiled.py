"""Functions of plain loops over arrays, compiled when they are first called.

What is compiled is kept beside the code, or in the user's own cache where that can't be written,
under names with a digest of this package: a function's own file doesn't tell whether the functions
and constants of others that it uses are still the same. Sums keep their order and one thread does
all, so that the results are the same each time.
"""

from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import ParamSpec, TypeVar, cast

from numba import njit

P = ParamSpec("P")
R = TypeVar("R")

_SOURCES = sorted(Path(__file__).parent.glob("*.py"))
_DIGEST = sha256(b"".join(each.read_bytes() for each in _SOURCES)).hexdigest()[:12]


def compiled(function: Callable[P, R]) -> Callable[P, R]:
    """The same function, fast; as it was written it is its `py_func`."""
    function.__qualname__ += f"_{_DIGEST}"
    try:
        made = njit(function, cache=True, error_model="numpy")
    except RuntimeError:  # neither place can be written: each process compiles anew
        made = njit(function, error_model="numpy")
    return cast("Callable[P, R]", made)


def inlined(function: Callable[P, R]) -> Callable[P, R]:
    """The same for a small one, which becomes a part of those that call it."""
    return cast("Callable[P, R]", njit(function, error_model="numpy", forceinline=True))
