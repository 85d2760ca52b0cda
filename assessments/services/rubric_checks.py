"""What a rubric has to be: each reason at the field that it belongs to."""

from collections import Counter
from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Protocol

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext as _

from assessments.models import Criterion, EvidenceKind, Level, RubricCriterion
from assessments.scoring.score import HUNDREDTH, MOST_SCORE
from studio.errors import Problem, Refused

MOST_CRITERIA = 12
LEAST_LEVELS, MOST_LEVELS = 2, 9  # a level is chosen by a digit


class LevelLike(Protocol):
    @property
    def points(self) -> Decimal: ...
    @property
    def descriptor(self) -> str: ...


class CriterionLike(Protocol):
    @property
    def title(self) -> str: ...
    @property
    def weight(self) -> Decimal: ...
    @property
    def evidence(self) -> str: ...
    @property
    def levels(self) -> Sequence[LevelLike]: ...


def check_criteria(criteria: Sequence[CriterionLike]) -> None:
    """Raises `Refused` with every reason, at paths such as `criteria.0.levels.2.points`."""
    if not criteria:
        raise Refused(_("A rubric needs at least one criterion. Add one."), field="criteria")
    if len(criteria) > MOST_CRITERIA:
        message = _("A rubric has at most %(most)s criteria. Take some out.")
        raise Refused(message % {"most": MOST_CRITERIA}, field="criteria")
    if problems := list(_problems(criteria)):
        raise Refused.all_of(problems)
    most = [each.weight * max(level.points for level in each.levels) for each in criteria]
    if sum(most) > MOST_SCORE:
        message = _("All points together come to more than %(most)s. Use smaller weights.")
        raise Refused(message % {"most": MOST_SCORE}, field="criteria.0.weight")
    if (least := min(most)) < HUNDREDTH:
        # A student who is judged by nothing else would have a score of 0 points out of 0.
        message = _(
            "With this weight the best level comes to less than %(least)s. Use a larger one."
        )
        field = f"criteria.{most.index(least)}.weight"
        raise Refused(message % {"least": HUNDREDTH}, field=field)


def _problems(criteria: Sequence[CriterionLike]) -> Iterator[Problem]:
    titles = Counter(each.title.casefold() for each in criteria)
    for place, each in enumerate(criteria):
        at = f"criteria.{place}"
        yield from _of_field(Criterion, "title", each.title, f"{at}.title")
        if each.title and titles[each.title.casefold()] > 1:
            yield Problem(_("Two criteria have this title. Rename one of them."), f"{at}.title")
        yield from _of_field(RubricCriterion, "weight", each.weight, f"{at}.weight")
        if each.evidence not in EvidenceKind.values:
            yield Problem(_("Choose from the list what stands beside it."), f"{at}.evidence")
        yield from _of_levels(each.levels, at)


def _of_levels(levels: Sequence[LevelLike], at: str) -> Iterator[Problem]:
    if not LEAST_LEVELS <= len(levels) <= MOST_LEVELS:
        message = _("A criterion has %(least)s to %(most)s levels. Add or take out some.")
        values = {"least": LEAST_LEVELS, "most": MOST_LEVELS}
        yield Problem(message % values, f"{at}.levels")
        return
    points = Counter(level.points for level in levels)
    for place, level in enumerate(levels):
        here = f"{at}.levels.{place}"
        yield from _of_field(Level, "points", level.points, f"{here}.points")
        if points[level.points] > 1:
            message = _("Two levels have the same points. Give each its own.")
            yield Problem(message, f"{here}.points")
        yield from _of_field(Level, "descriptor", level.descriptor, f"{here}.descriptor")
        # Django leaves the length of a text to forms; this one may come over the API.
        most = Level._meta.get_field("descriptor").max_length or 0
        if len(level.descriptor) > most:
            message = _("This is too long. Shorten it to %(most)s characters.") % {"most": most}
            yield Problem(message, f"{here}.descriptor")
    if max(points) <= 0:
        yield Problem(_("The best level needs more than 0 points."), f"{at}.levels")


def _of_field(
    model: type[models.Model], name: str, value: str | Decimal, at: str
) -> Iterator[Problem]:
    if isinstance(value, Decimal) and not value.is_finite():
        yield Problem(_("This is not a number. Type one such as 12.5."), at)
        return
    field = model._meta.get_field(name)
    if isinstance(field, models.Field):
        try:
            field.clean(value, None)
        except ValidationError as wrong:
            yield Problem(" ".join(wrong.messages), at)
