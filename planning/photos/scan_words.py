"""Why a scan or a page of it was not taken, and what to do, in sentences."""

from collections.abc import Callable
from typing import Any, Final

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from planning.models import ScanPage
from studio.uploads.kinds import MAX_BYTES
from studio.uploads.refusals import CODES, sentence

from .scan_limits import LONGEST_MM, MOST_PAGES


def _pages(values: dict[str, Any]) -> str:
    return ngettext(
        "This PDF has %(pages)d page; at most %(most)d are read at once. Scan the class in parts.",
        "This PDF has %(pages)d pages; at most %(most)d are read at once. Scan the class in parts.",
        values["pages"],
    ) % {"pages": values["pages"], "most": MOST_PAGES}


_OF_SCAN: Final[dict[str, Callable[[dict[str, Any]], str]]] = {
    "empty": lambda _values: _("This file is empty. Choose the scan again."),
    "too_large": lambda _values: (
        _(
            "This file is larger than %(megabytes)d MB. Scan the class in parts, or in grey at "
            "200 dpi, and send that."
        )
        % {"megabytes": MAX_BYTES // 1_000_000}
    ),
    "kind": lambda _values: _(
        "This is not a scan that can be read here. Send the PDF that the copier made, or pictures "
        "of one page each."
    ),
    "scan_pages": _pages,
    "pdf_locked": lambda _values: _(
        "This PDF is locked with a password. Scan the sheets again without one."
    ),
    "broken": lambda _values: _(
        "This file is damaged or incomplete. Send it again from where it was made, or scan the "
        "sheets once more."
    ),
    "too_heavy": lambda _values: _(
        "This file could not be opened within the time and memory that a scan may take. Scan the "
        "sheets again at 200 or 300 dpi."
    ),
    "gave_up": lambda _values: _(
        "This scan could not be read to its end, though it was tried several times. What was read "
        "stands below. Send it once more for the rest: no page is taken twice."
    ),
    "gone": lambda _values: _(
        "This scan waited for too long and was removed unseen. Send it again."
    ),
}

_OF_PAGE: Final[dict[ScanPage.Why, str | Promise]] = {
    ScanPage.Why.NO_CODE: gettext_lazy("No code can be read on this page."),
    ScanPage.Why.UNKNOWN: gettext_lazy("The code on this page is of no piece here."),
    ScanPage.Why.ELSEWHERE: gettext_lazy("The code on this page is of another studio."),
    ScanPage.Why.NOT_TAUGHT: gettext_lazy("This page is of a class that you don’t teach."),
    ScanPage.Why.LEFT: gettext_lazy("This page is of a student who has left the class."),
    ScanPage.Why.CLOSED: gettext_lazy(
        "This page is of a student whose account is closed. It was not kept."
    ),
    ScanPage.Why.TOO_HEAVY: gettext_lazy(
        "This page could not be drawn within the time and memory that a page may take. Scan it "
        "again at 200 or 300 dpi."
    ),
    ScanPage.Why.BROKEN: gettext_lazy("This page of the file is damaged. Scan it once more."),
}


def scan_sentence(code: str, values: dict[str, Any]) -> str:
    """What keeps a scan from being read, in the language of the moment."""
    if code not in _OF_SCAN and code in CODES:
        return sentence(code, values)
    return _OF_SCAN[code](values)


def page_sentence(page: ScanPage) -> str:
    """What keeps a page from its student; empty if nothing does."""
    if not page.why:
        return ""
    if page.why == ScanPage.Why.REFUSED:
        return page.said
    if page.why == ScanPage.Why.TOO_LONG:
        message = _("This page is longer than %(most)d cm and was not drawn. Scan it in parts.")
        return message % {"most": round(LONGEST_MM / 10)}
    return str(_OF_PAGE[ScanPage.Why(page.why)])
