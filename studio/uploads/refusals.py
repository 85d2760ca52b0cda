"""Why a file was not taken: every code, and the sentence that says what to do."""

from collections.abc import Callable
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from .kinds import MAX_BYTES, MAX_PIXELS


def _pages(values: dict[str, Any]) -> str:
    return ngettext(
        "This PDF has %(pages)d page, and one page is one picture. Send that page as a photo.",
        "This PDF has %(pages)d pages, and one page is one picture. "
        "Save each page as its own file and send those.",
        values["pages"],
    ) % {"pages": values["pages"]}


_SENTENCES: dict[str, Callable[[dict[str, Any]], str]] = {
    "empty": lambda _values: _("This file is empty. Choose the picture again."),
    "too_large": lambda _values: (
        _("This file is larger than %(megabytes)d MB. Save the picture smaller and send it again.")
        % {"megabytes": MAX_BYTES // 1_000_000}
    ),
    "kind": lambda _values: _(
        "This is not a picture that can be used here. "
        "Send a JPEG, PNG, WebP or HEIC picture, or a PDF of one page."
    ),
    "too_many_pixels": lambda _values: (
        _(
            "This picture has more than %(megapixels)d megapixels. "
            "Save it smaller, or take it with a lower resolution, and send it again."
        )
        % {"megapixels": MAX_PIXELS // 1_000_000}
    ),
    "broken": lambda _values: _(
        "This file is damaged or incomplete. Send it again from where it was made, "
        "or take the photo once more."
    ),
    "pdf_pages": _pages,
    "pdf_locked": lambda _values: _(
        "This PDF is locked with a password. Save it without one, or send a photo of the page."
    ),
    "too_heavy": lambda _values: _(
        "This picture could not be opened within the time and memory that one picture may take. "
        "Save it smaller as a JPEG, or take a photo of it, and send that."
    ),
    "gave_up": lambda _values: _(
        "This picture could not be worked on, though it was tried several times. "
        "Send it again; if that fails too, tell your teacher."
    ),
    "waited": lambda _values: _(
        "This picture waited for more than a day and was removed unseen. Send it again."
    ),
}
CODES = frozenset(_SENTENCES)


def sentence(code: str, values: dict[str, Any]) -> str:
    """What a person reads about `code` (one of `CODES`), in the language of the moment."""
    return _SENTENCES[code](values)
