"""A stranger's photo in, what a process of its own says of it out."""

import tempfile
from collections.abc import Iterable
from typing import Any, Final

from studio.uploads.child import answer_of_child
from studio.uploads.reading import Unreadable

# Beside the bound on processor time that the child sets itself. Less than the web server's.
TIMEOUT_SECONDS: Final = 90


def answer_on_photo(module: str, chunks: Iterable[bytes], asked: object = None) -> dict[str, Any]:
    """What `python -m module` answers on one file.

    Raises `Unreadable` for a file that isn't taken. The copy has no name, so a killed process
    leaves none behind.
    """
    with tempfile.TemporaryFile() as source:
        source.writelines(chunks)
        source.seek(0)
        told = answer_of_child(module, (source,), timeout_s=TIMEOUT_SECONDS, asked=asked)
    if "refused" in told:
        raise Unreadable(told["refused"], told["values"])
    return told
