"""A photo of a drawing in, the form that is drawn in it out, as it is kept."""

from base64 import b64decode
from collections.abc import Iterable
from typing import Any

from studio.uploads.reading import Unreadable

from .asking import answer_on_photo


def form_of_photo(chunks: Iterable[bytes]) -> dict[str, Any]:
    """`form` and `strokes` as bytes (`planning.exploration.kept`), or `at`, `code` and `values` of
    why there is none."""
    try:
        told = answer_on_photo("planning.photos.form_child", chunks)
    except Unreadable as unread:
        return {"at": "file", "code": unread.code, "values": unread.values}
    if "code" in told:
        return told
    return {name: b64decode(told[name]) for name in ("form", "strokes")}
