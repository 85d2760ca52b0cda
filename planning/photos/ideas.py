"""Photos of drawings in, the ideas in them out; pages and the API ask here."""

import tempfile
from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from typing import Any

from django.core.files.base import File
from django.utils.translation import gettext

from planning.exploration.reasons import MESSAGES
from studio.uploads.child import answer_of_child
from studio.uploads.reading import Unreadable
from studio.uploads.refusals import sentence
from studio.uploads.services import refusal_at_sight

from .asking import TIMEOUT_SECONDS


def ideas_of_photos(files: Sequence[File[bytes]]) -> dict[str, Any]:
    """What `planning.exploration.run.answer` says of strangers' files.

    Raises `Unreadable` where all of them together are more than may be worked on. The copies have
    no names, so a killed process leaves none behind.
    """
    with ExitStack() as stack:
        sources = []
        refused = [refusal_at_sight(file) for file in files]
        for file, code in zip(files, refused, strict=True):
            source = stack.enter_context(tempfile.TemporaryFile())
            if not code:
                source.writelines(file.chunks())
                source.seek(0)
            sources.append(source)
        told = answer_of_child(
            "planning.photos.ideas_child", sources, timeout_s=TIMEOUT_SECONDS, asked=refused
        )
    if "refused" in told:
        raise Unreadable(told["refused"], told["values"])
    return told


def unreadable_sentence(unreadable: Mapping[str, Any]) -> str:
    """Why one of the pictures counts for nothing, and what to do, in the reader's language."""
    if unreadable["at"] == "file":
        return sentence(unreadable["code"], unreadable["values"])
    return gettext(MESSAGES[unreadable["code"]])
