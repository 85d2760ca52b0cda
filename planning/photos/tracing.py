"""A photo of a drawing in, what is drawn there out; the page and the API ask here."""

from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from planning.tracing.run import Asked

from .asking import answer_on_photo


def traced_photo(chunks: Iterable[bytes], asked: Asked) -> dict[str, Any]:
    """What `planning.tracing.run.answer` says of a stranger's file; its scale is sound.

    Raises `Unreadable` for a file that isn't taken.
    """
    return answer_on_photo("planning.photos.child", chunks, asdict(asked))
