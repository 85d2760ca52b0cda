"""Sheets of drawings that lie with their students."""

from django.db.models import Count, OuterRef, Subquery

from planning.models import Sheet
from studio.uploads.models import StoredImage


def sheets_waiting() -> Subquery:
    """Over a query of pieces: how many sheets were taken apart, or will be, and not taken by their
    student yet; None for none."""
    kept = Sheet.objects.waiting().exclude(image__state=StoredImage.State.REFUSED)
    counted = kept.filter(piece=OuterRef("pk")).order_by().values("piece")
    return Subquery(counted.annotate(n=Count("pk")).values("n"))
