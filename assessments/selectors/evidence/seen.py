"""Evidence as it is shown and frozen: sentences and small pictures."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass, replace
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext, pgettext

from planning.pictures.outline import Sample
from studio.web.shown import day_text

MOST_DAYS = 4


@dataclass(frozen=True)
class Picture:
    """A photo by the kind of thing that owns it: `thumbnail`, `refinement` or `pot`."""

    kind: str
    pk: str
    caption: str
    chosen: bool = False

    @property
    def small_url(self) -> str:
        return self._url("small")

    @property
    def full_url(self) -> str:
        return self._url("full")

    def _url(self, size: str) -> str:
        if self.kind == "pot":
            return reverse("pot_photo_image", args=[self.pk, size])
        return reverse("drawing_image", args=[self.kind, self.pk, size])


@dataclass(frozen=True)
class Evidence:
    """What stands beside one criterion; `silhouette` is the plan's, where there is one."""

    sentences: tuple[str, ...] = ()
    pictures: tuple[Picture, ...] = ()
    silhouette: tuple[Sample, ...] = ()

    @property
    def in_words(self) -> "Evidence":
        """Without its pictures, where they stand already."""
        return replace(self, pictures=())

    def as_json(self) -> dict[str, Any]:
        return {
            "sentences": list(self.sentences),
            "pictures": [asdict(each) for each in self.pictures],
            "silhouette": [list(sample) for sample in self.silhouette],
        }

    @classmethod
    def from_json(cls, kept: dict[str, Any]) -> "Evidence":
        return cls(
            sentences=tuple(kept["sentences"]),
            pictures=tuple(Picture(**each) for each in kept["pictures"]),
            silhouette=tuple((h, left, right) for h, left, right in kept["silhouette"]),
        )


def local_day(at: datetime, zone: ZoneInfo) -> date:
    return at.astimezone(zone).date()


def short_day(at: datetime, zone: ZoneInfo) -> str:
    """Under a small picture: `11 March`."""
    # Translators: a day without its year, in Django's date format.
    return date_format(local_day(at, zone), pgettext("day without its year", "j F"))


def days_in_words(days: Iterable[date]) -> str:
    """`Monday 9 March 2026`, several of them, or from when to when."""
    listed = sorted(set(days))
    if len(listed) > MOST_DAYS:
        words = {"first": day_text(listed[0]), "last": day_text(listed[-1]), "n": len(listed)}
        return _("%(n)s days between %(first)s and %(last)s") % words
    return ", ".join(day_text(day) for day in listed)


def how_many_thumbnails(count: int) -> str:
    return ngettext("%(n)d thumbnail", "%(n)d thumbnails", count) % {"n": count}


def ideas_by_then(distinct: float, low: float, high: float) -> str:
    """How many ideas there were when the choice was made, as the page of the choice said it."""
    about = max(1, round(distinct))
    least, most = min(about, max(1, round(low))), max(about, round(high))
    words = {"n": about, "low": least, "high": most}
    if least == most:
        return ngettext("About %(n)d idea by then.", "About %(n)d ideas by then.", about) % words
    text = ngettext(
        "About %(n)d idea by then; between %(low)d and %(high)d.",
        "About %(n)d ideas by then; between %(low)d and %(high)d.",
        about,
    )
    return text % words


def how_many_source_forms(count: int) -> str:
    return ngettext("%(n)d source form", "%(n)d source forms", count) % {"n": count}


def how_many_refinements(count: int) -> str:
    return ngettext("%(n)d refinement", "%(n)d refinements", count) % {"n": count}
