"""Marks in words: points, scores and how far a marking has come."""

from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.scoring.score import Score
from studio.people.models import User
from studio.web.shown import number_text

from .marks import PieceMarks


def points_text(points: Decimal) -> str:
    """`3` or `2.5`: no more digits than it has."""
    whole = points.to_integral_value()
    return number_text(whole if points == whole else points.normalize())


def score_text(score: Score) -> str:
    """`12.5 of 16`, or what is open."""
    if score.total is None:
        return open_text(score.open)
    return total_text(score.total, score.most)


def total_text(total: Decimal | None, most: Decimal) -> str:
    """`12.5 of 16`; a released piece with an open criterion, or none to judge, has no total."""
    if total is None:
        return _("No total: something is not judged yet") if most else _("No total: not judged")
    return _("%(total)s of %(most)s") % {"total": points_text(total), "most": points_text(most)}


def open_text(count: int) -> str:
    """`2 criteria open`; nothing to judge where everything is exempt."""
    if not count:
        return _("nothing to judge")
    return ngettext("%(n)d criterion open", "%(n)d criteria open", count) % {"n": count}


def state_text(marks: PieceMarks, person: User) -> str:
    """What stands in a class's list about the marks that the person would release."""
    if marks.result is not None:
        return total_text(marks.result.score, marks.result.most)
    marking = marks.to_release(person)
    if marking is not None:
        return score_text(marks.score_of(marking))
    if marks.begun:
        return _("marked in two ways")
    return _("not marked yet")
