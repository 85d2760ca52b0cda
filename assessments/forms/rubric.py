"""The rubric editor: criteria in rows, each with its levels in rows; rows come and go by buttons.

Every button posts the whole form, so that it works without a script and loses nothing typed.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, TypeVar
from uuid import UUID

from django import forms
from django.utils.translation import gettext_lazy as _

from assessments.models import Criterion, EvidenceKind, Level, Rubric, RubricCriterion
from assessments.services.rubric_checks import LEAST_LEVELS, MOST_CRITERIA, MOST_LEVELS
from assessments.services.rubrics import CriterionWritten, LevelWritten
from studio.errors import Problem, Refused
from studio.web.columns import column, label, limits

_LONGEST = 4  # digits of a count that somebody made up

Typed = dict[str, Any]
F = TypeVar("F", bound=forms.Form)


def _decimal(model: type[RubricCriterion] | type[Level], name: str) -> forms.DecimalField:
    least, most = limits(column(model, name))
    return forms.DecimalField(
        label=label(column(model, name)),
        min_value=least,
        max_value=most,
        decimal_places=2,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "size": 6}),
    )


class TitleForm(forms.Form):
    title = forms.CharField(
        label=label(column(Rubric, "title")), max_length=column(Rubric, "title").max_length
    )
    seen = forms.UUIDField(required=False, widget=forms.HiddenInput)


class CriterionForm(forms.Form):
    title = forms.CharField(label=_("Criterion"), max_length=column(Criterion, "title").max_length)
    weight = _decimal(RubricCriterion, "weight")
    evidence = forms.ChoiceField(
        label=label(column(RubricCriterion, "evidence")), choices=EvidenceKind.choices
    )


class LevelForm(forms.Form):
    points = _decimal(Level, "points")
    descriptor = forms.CharField(
        label=label(column(Level, "descriptor")),
        max_length=column(Level, "descriptor").max_length,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


@dataclass(frozen=True)
class Row:
    """A criterion's form with those of its levels; `place` is in the names of its buttons."""

    place: int
    form: CriterionForm
    levels: list[tuple[int, LevelForm]]
    problems: list[str] = field(default_factory=list)

    @property
    def may_grow(self) -> bool:
        return len(self.levels) < MOST_LEVELS

    @property
    def may_shrink(self) -> bool:
        return len(self.levels) > LEAST_LEVELS


@dataclass
class _Typed:
    """What was typed, as text, whatever it is."""

    title: Typed
    criteria: list[tuple[Typed, list[Typed]]]


class RubricForms:
    """All forms of the page. `change` adds or removes a row; `is_valid` checks every one."""

    def __init__(self, typed: _Typed, *, bound: bool) -> None:
        self._typed, self.bound = typed, bound
        self._build()

    @classmethod
    def of(
        cls, title: str, criteria: Sequence[CriterionWritten], seen: UUID | None
    ) -> "RubricForms":
        """To begin with: a rubric as it is written, the best level first."""
        rows = [
            (
                {
                    "title": each.title,
                    "weight": _figure(each.weight),
                    "evidence": each.evidence,
                },
                [
                    {"points": _figure(level.points), "descriptor": level.descriptor}
                    for level in reversed(each.levels)
                ],
            )
            for each in criteria
        ]
        return cls(_Typed({"title": title, "seen": seen}, rows or [_new()]), bound=False)

    @classmethod
    def posted(cls, post: Mapping[str, Any]) -> "RubricForms":
        title = {name: post.get(name, "") for name in ("title", "seen")}
        criteria = []
        for n in range(_number(post, "criteria", MOST_CRITERIA)):
            levels = _number(post, f"c{n}-levels", MOST_LEVELS)
            criteria.append(
                (
                    {name: post.get(f"c{n}-{name}", "") for name in CriterionForm.base_fields},
                    [
                        {name: post.get(f"c{n}-l{m}-{name}", "") for name in LevelForm.base_fields}
                        for m in range(levels)
                    ],
                )
            )
        return cls(_Typed(title, criteria), bound=True)

    def change(self, wanted: str) -> None:
        """`add`, `add-1` (a level of the second criterion), `remove-1`, `remove-1-0`, `up-1`.

        Nothing is checked meanwhile: whoever is still writing isn't done.
        """
        verb, *places = wanted.split("-")
        at = [int(each) for each in places if each.isdecimal()][:2]
        rows = self._typed.criteria
        inside = not at or at[0] < len(rows)
        if verb == "add" and not at and len(rows) < MOST_CRITERIA:
            rows.append(_new())
        elif verb == "add" and at and inside and len(rows[at[0]][1]) < MOST_LEVELS:
            rows[at[0]][1].append({"points": "", "descriptor": ""})
        elif verb == "remove" and len(at) == 1 and inside:
            del rows[at[0]]
        elif verb == "remove" and len(at) > 1 and inside and at[1] < len(rows[at[0]][1]):
            del rows[at[0]][1][at[1]]
        elif verb == "up" and at and inside and at[0] > 0:
            rows[at[0] - 1], rows[at[0]] = rows[at[0]], rows[at[0] - 1]
        self.bound = False
        self._build()

    def _build(self) -> None:
        self.title_form = self._form(TitleForm, self._typed.title, None)
        self.rows = [
            Row(
                place=n,
                form=self._form(CriterionForm, typed, f"c{n}"),
                levels=[
                    (m, self._form(LevelForm, level, f"c{n}-l{m}"))
                    for m, level in enumerate(levels)
                ],
            )
            for n, (typed, levels) in enumerate(self._typed.criteria)
        ]
        self.problems: list[str] = []

    def _form(self, kind: type[F], typed: Typed, prefix: str | None) -> F:
        if not self.bound:
            return kind(initial=typed, prefix=prefix)
        named = {f"{prefix}-{name}" if prefix else name: value for name, value in typed.items()}
        return kind(named, prefix=prefix)

    @property
    def may_grow(self) -> bool:
        return len(self.rows) < MOST_CRITERIA

    def is_valid(self) -> bool:
        # All of them, so that each shows what is wrong with it.
        checked = [each.is_valid() for each in self._forms()]
        return all(checked)

    @property
    def wrong(self) -> bool:
        return bool(self.problems) or any(each.errors for each in self._forms())

    def _forms(self) -> Iterator[forms.Form]:
        yield self.title_form
        for row in self.rows:
            yield row.form
            for _place, level in row.levels:
                yield level

    def written(self) -> dict[str, Any]:
        """What the services take; the forms are valid."""
        return {
            "title": self.title_form.cleaned_data["title"],
            "criteria": [
                CriterionWritten(
                    title=row.form.cleaned_data["title"],
                    weight=row.form.cleaned_data["weight"],
                    evidence=row.form.cleaned_data["evidence"],
                    levels=tuple(
                        LevelWritten(**level.cleaned_data) for _place, level in row.levels
                    ),
                )
                for row in self.rows
            ],
        }

    def show(self, refusal: Refused) -> None:
        """Each reason where it belongs."""
        for problem in refusal.problems:
            self._show(problem)

    def _show(self, problem: Problem) -> None:
        match problem.field.split("."):
            case ["title"]:
                self.title_form.add_error("title", problem.message)
            case ["criteria", place, "levels"]:
                self.rows[int(place)].problems.append(problem.message)
            case ["criteria", place, name]:
                self.rows[int(place)].form.add_error(name, problem.message)
            case ["criteria", place, "levels", level, name]:
                self.rows[int(place)].levels[int(level)][1].add_error(name, problem.message)
            case _:
                self.problems.append(problem.message)


def _new() -> tuple[Typed, list[Typed]]:
    """A row to begin with: weight 1 and four levels, as rubrics mostly have."""
    levels = [{"points": str(points), "descriptor": ""} for points in (4, 3, 2, 1)]
    return {"title": "", "weight": "1", "evidence": EvidenceKind.NONE}, levels


def _number(post: Mapping[str, Any], name: str, most: int) -> int:
    text = str(post.get(name, ""))
    return (
        min(int(text), most + 1)
        if text.isascii() and text.isdecimal() and len(text) < _LONGEST
        else 0
    )


def _figure(value: Decimal) -> str:
    return f"{value.normalize():f}"
