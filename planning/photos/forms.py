"""A photo of a drawing in, the form that is drawn in it out, as it is kept."""

import tempfile
from base64 import b64decode
from collections.abc import Iterable
from typing import Any

from studio.uploads.child import answer_of_child

from .ideas import TIMEOUT_SECONDS


def form_of_photo(chunks: Iterable[bytes]) -> dict[str, Any]:
    """`form` and `strokes` as bytes (`planning.exploration.kept`), or `at`, `code` and `values` of
    why there is none. The copy has no name, so a killed process leaves none behind.
    """
    with tempfile.TemporaryFile() as source:
        source.writelines(chunks)
        source.seek(0)
        told = answer_of_child("planning.photos.form_child", (source,), timeout_s=TIMEOUT_SECONDS)
    if "refused" in told:
        return {"at": "file", "code": told["refused"], "values": told["values"]}
    if "code" in told:
        return told
    return {name: b64decode(told[name]) for name in ("form", "strokes")}
