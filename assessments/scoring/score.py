"""The weighted score of one marking.

Points and weights are decimals with two places; the score is the exact sum of weight × points and
is rounded once, at the end, to a hundredth, halves up. Halves up because that is what somebody
gets who checks a mark with pencil and paper; halves to even would only matter where many rounded
figures are added, which never happens here.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, localcontext

HUNDREDTH = Decimal("0.01")
MOST_SCORE = Decimal("99999.99")
"""Beyond any rubric of sense, and what a column of seven digits holds."""
_DIGITS = 40  # two numbers of five digits each, many times over: nothing is rounded on the way


@dataclass(frozen=True)
class Judged:
    """One criterion: `points` is None while it is open; `most` are its best level's points."""

    weight: Decimal
    most: Decimal
    points: Decimal | None = None
    exempt: bool = False


@dataclass(frozen=True)
class Score:
    """`total` of `most`, both after weights. No total while a criterion is open."""

    total: Decimal | None
    most: Decimal
    open: int


def score(criteria: Iterable[Judged]) -> Score:
    """The score of a marking: exempt criteria are left out, an open one is never a zero.

    Where every criterion is exempt there is nothing to add up, and so no total either.
    """
    counted = [each for each in criteria if not each.exempt]
    given = [(each.weight, each.points) for each in counted if each.points is not None]
    still_open = len(counted) - len(given)
    most = rounded(_sum((each.weight, each.most) for each in counted))
    total = rounded(_sum(given)) if counted and not still_open else None
    return Score(total=total, most=most, open=still_open)


def rounded(value: Decimal) -> Decimal:
    """To a hundredth, halves up (away from zero)."""
    return value.quantize(HUNDREDTH, rounding=ROUND_HALF_UP)


def scaled(total: Decimal, *, most: Decimal, to: Decimal) -> Decimal:
    """A score of `most` as one of `to`, rounded once.

    For a list in which everybody is counted from the same most points: the score of a student
    who is exempt from a criterion keeps its share. Raises ValueError for a `most` of 0.
    """
    if most <= 0:
        message = "a score of nothing has no share"
        raise ValueError(message)
    with localcontext(prec=_DIGITS):
        return rounded(total * to / most)


def _sum(products: Iterable[tuple[Decimal, Decimal]]) -> Decimal:
    with localcontext(prec=_DIGITS):
        return sum((weight * points for weight, points in products), Decimal(0))
