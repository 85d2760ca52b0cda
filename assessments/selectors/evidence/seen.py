"""Evidence as it is shown and frozen: sentences and small pictures."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

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


@dataclass(frozen=True)
class Evidence:
    """What stands beside one criterion; `silhouette` is the plan's, where there is one."""

    sentences: tuple[str, ...] = ()
    pictures: tuple[Picture, ...] = ()
    silhouette: tuple[Sample, ...] = ()

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


def days_in_words(days: Iterable[date]) -> str:
    """`Monday 9 March 2026`, several of them, or from when to when."""
    listed = sorted(set(days))
    if len(listed) > MOST_DAYS:
        words = {"first": day_text(listed[0]), "last": day_text(listed[-1]), "n": len(listed)}
        return _("%(n)s days between %(first)s and %(last)s") % words
    return ", ".join(day_text(day) for day in listed)


def how_many_thumbnails(count: int) -> str:
    return ngettext("%(n)d thumbnail", "%(n)d thumbnails", count) % {"n": count}


def how_many_source_forms(count: int) -> str:
    return ngettext("%(n)d source form", "%(n)d source forms", count) % {"n": count}


def how_many_refinements(count: int) -> str:
    return ngettext("%(n)d refinement", "%(n)d refinements", count) % {"n": count}
