"""Scans of a class's sheets: where a page belongs, and what became of all of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final
from urllib.parse import urlsplit
from uuid import UUID

from django.db.models import Count, OuterRef, QuerySet, Subquery

from planning.models import Assignment, Piece, Scan, ScanPage
from planning.photos.scan_words import page_sentence, scan_sentence
from studio.people.models import User

MOST_SHOWN: Final = 6
"""Of the scans on which nothing waits any more."""


def piece_of_codes(codes: Sequence[str], by: User) -> tuple[Piece | None, str]:
    """The piece that the codes of a page name, one that this person teaches; else None and a
    `ScanPage.Why`."""
    if not codes:
        return None, ScanPage.Why.NO_CODE
    related = Piece.objects.select_related("studio", "student")
    named = [piece for code in codes if (piece := _named(code, related))]
    if not named:
        return None, ScanPage.Why.UNKNOWN
    taught = Piece.objects.taught_by(by).filter(pk__in=[piece.pk for piece in named])
    mine = set(taught.values_list("pk", flat=True))
    for piece in named:
        if piece.pk in mine:
            return piece, ""
    if all(piece.studio_id != by.studio_id for piece in named):
        return None, ScanPage.Why.ELSEWHERE
    return None, ScanPage.Why.NOT_TAUGHT


def _named(code: str, pieces: QuerySet[Piece]) -> Piece | None:
    """Of the address of a piece's page, wherever the service was when it was printed."""
    try:
        path = urlsplit(code).path
        pk = UUID(path.rstrip("/").rsplit("/", 1)[-1])
    except ValueError:
        return None
    if not path.endswith(Piece(pk=pk).get_absolute_url()):
        return None
    return pieces.filter(pk=pk).first()


@dataclass(frozen=True)
class ScanSeen:
    """A scan with the pages that were read so far."""

    scan: Scan
    pages: list[ScanPage]

    @property
    def refusal(self) -> str:
        scan = self.scan
        return scan_sentence(scan.refusal_code, scan.refusal_values) if scan.refusal_code else ""

    @cached_property
    def sorted(self) -> list[ScanPage]:
        """Those that are with their students."""
        return [page for page in self.pages if page.state == ScanPage.State.SHEET]

    @cached_property
    def waiting(self) -> list[tuple[ScanPage, str]]:
        """Those that somebody has to look at, and why."""
        return self._told(ScanPage.State.WAITING)

    @cached_property
    def away(self) -> list[tuple[ScanPage, str]]:
        return self._told(ScanPage.State.AWAY)

    def _told(self, state: str) -> list[tuple[ScanPage, str]]:
        return [(page, page_sentence(page)) for page in self.pages if page.state == state]


def scans_of(assignment: Assignment) -> list[ScanSeen]:
    """The newest first, every one on which something waits. Two queries."""
    seen = scans_seen(list(Scan.objects.filter(assignment=assignment)))
    busy = {each.scan.pk for each in seen if each.waiting or each.scan.is_open}
    rest = [each.scan.pk for each in seen if each.scan.pk not in busy][:MOST_SHOWN]
    return [each for each in seen if each.scan.pk in busy or each.scan.pk in rest]


def scans_seen(scans: Sequence[Scan]) -> list[ScanSeen]:
    """One query."""
    pages: dict[UUID, list[ScanPage]] = {scan.pk: [] for scan in scans}
    related = ScanPage.objects.select_related("piece__student", "image")
    for page in related.filter(scan__in=scans):
        pages[page.scan_id].append(page)
    return [ScanSeen(scan, pages[scan.pk]) for scan in scans]


def pages_waiting() -> Subquery:
    """Over a query of assignments: how many pages of its scans somebody has to look at; None for
    none. Those of a scan that is still being read can't be given yet.
    """
    read = (Scan.State.READ, Scan.State.REFUSED)
    pages = ScanPage.objects.waiting().filter(scan__assignment=OuterRef("pk"), scan__state__in=read)
    counted = pages.order_by().values("scan__assignment").annotate(n=Count("pk"))
    return Subquery(counted.values("n"))


def pieces_to_give(assignment: Assignment) -> list[Piece]:
    """Those of who is in the class now, by first name. One query."""
    rows = Piece.objects.filter(assignment=assignment).of_enrolled().select_related("student")
    return list(rows.order_by("student__given_name", "student__family_name", "code"))
