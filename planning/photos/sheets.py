"""A photo of a sheet of thumbnails in, where its drawings are out; pages and the API ask here."""

from collections.abc import Iterable
from typing import Any

from .asking import answer_on_photo


def drawings_of_sheet(chunks: Iterable[bytes]) -> dict[str, Any]:
    """What `planning.splitting.run.answer` says of a stranger's file.

    Raises `Unreadable` for a file that isn't taken.
    """
    return answer_on_photo("planning.photos.sheet_child", chunks)
