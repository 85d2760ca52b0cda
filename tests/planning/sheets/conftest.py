"""Prints are read by several tests of a module, and closed after them."""

from collections.abc import Iterator

import pytest

from .joined import all_paths
from .pots import printed


@pytest.fixture(scope="module", autouse=True)
def _closed_afterwards() -> Iterator[None]:
    yield
    all_paths.cache_clear()
    printed.cache_clear()
