"""A photo of a drawing in, what is drawn there out; the page and the API ask here."""

import tempfile
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any, Final

from planning.tracing.run import Asked
from studio.uploads.child import answer_of_child
from studio.uploads.reading import Unreadable

# Beside the bound on processor time that the child sets itself. Less than the web server's.
TIMEOUT_SECONDS: Final = 90


def traced_photo(chunks: Iterable[bytes], asked: Asked) -> dict[str, Any]:
    """What `planning.tracing.run.answer` says of a stranger's file; its scale is sound.

    Raises `Unreadable` for a file that isn't taken. The copy has no name, so a killed process
    leaves none behind.
    """
    with tempfile.TemporaryFile() as source:
        source.writelines(chunks)
        source.seek(0)
        told = answer_of_child(
            "planning.photos.child", (source,), timeout_s=TIMEOUT_SECONDS, asked=asdict(asked)
        )
    if "refused" in told:
        raise Unreadable(told["refused"], told["values"])
    return told
