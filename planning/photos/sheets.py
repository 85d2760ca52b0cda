"""A photo of a sheet of thumbnails in, where its drawings are out; pages and the API ask here."""

import tempfile
from collections.abc import Iterable
from typing import Any, Final

from studio.uploads.child import answer_of_child
from studio.uploads.reading import Unreadable

# Beside the bound on processor time that the child sets itself. Less than the web server's.
TIMEOUT_SECONDS: Final = 90


def drawings_of_sheet(chunks: Iterable[bytes]) -> dict[str, Any]:
    """What `planning.splitting.run.answer` says of a stranger's file.

    Raises `Unreadable` for a file that isn't taken. The copy has no name, so a killed process
    leaves none behind.
    """
    with tempfile.TemporaryFile() as source:
        source.writelines(chunks)
        source.seek(0)
        told = answer_of_child("planning.photos.sheet_child", (source,), timeout_s=TIMEOUT_SECONDS)
    if "refused" in told:
        raise Unreadable(told["refused"], told["values"])
    return told
