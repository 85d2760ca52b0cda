"""Names and words out of the audit's values, and out of kept answers; the lines themselves stay."""

from collections.abc import Iterator, Mapping, Sequence
from functools import reduce
from operator import or_
from typing import Any

from django.apps import apps
from django.db.models import Q, QuerySet, TextField
from django.db.models.functions import Cast

from studio.keeping.words import as_kept, cleaned, ids_in, without_names
from studio.people.models import AuditEntry, IdempotencyKey, Studio, User
from studio.people.services.accounts import SHOWN

AT_ONCE = 500


def names_ever(person: User) -> set[str]:
    """What this person is called and was called, as far as the audit knows."""
    said = [{field: getattr(person, field) for field in SHOWN}]
    own = AuditEntry.objects.filter(subject_kind="people.user", subject_id=str(person.pk))
    for before, after in own.values_list("before", "after"):
        said += [before, after]
    found: set[str] = set()
    for values in said:
        words = [values.get(field) for field in SHOWN]
        found.update(word for word in words if isinstance(word, str))
        given, family = str(values.get("given_name", "")), str(values.get("family_name", ""))
        if given and family:
            found.update({f"{given} {family}", f"{family}, {given}", f"{family} {given}"})
    return found - {""}


def clean_audit(
    *, studio: Studio, theirs: Mapping[str, Sequence[Any]], names: set[str], instead: str
) -> None:
    """`theirs`: ids by model of all that was the person's. Their lines lose every text, the other
    lines of the studio these names.
    """
    for line in _lines_about(studio, theirs):
        _write(line, cleaned(line.before), cleaned(line.after))
    for line in _speaking(studio, names):
        before, after = (without_names(v, names, instead) for v in (line.before, line.after))
        _write(line, before, after)


def clean_answers(
    *, studio: Studio, theirs: Mapping[str, Sequence[Any]], names: set[str], instead: str
) -> None:
    """The same for answers that are kept for a retry: one in which something of theirs is named by
    its id loses every text. They are kept for days only, so that all can be looked at.
    """
    ids = {str(pk) for some in theirs.values() for pk in some}
    for kept in IdempotencyKey.objects.filter(person__studio=studio).iterator():
        about_them = not ids.isdisjoint(ids_in(kept.answer))
        answer = cleaned(kept.answer) if about_them else without_names(kept.answer, names, instead)
        if answer != kept.answer:
            IdempotencyKey.objects.filter(pk=kept.pk).update(answer=answer)


def _write(line: AuditEntry, before: Any, after: Any) -> None:
    if (before, after) != (line.before, line.after):
        AuditEntry.objects.filter(pk=line.pk).update(before=before, after=after)


def _lines_about(studio: Studio, theirs: Mapping[str, Sequence[Any]]) -> Iterator[AuditEntry]:
    for label, ids in theirs.items():
        kind = apps.get_model(label)._meta.label_lower
        lines = AuditEntry.objects.filter(studio=studio, subject_kind=kind)
        for start in range(0, len(ids), AT_ONCE):
            some = [str(each) for each in ids[start : start + AT_ONCE]]
            yield from lines.filter(subject_id__in=some)


def _speaking(studio: Studio, names: set[str]) -> "QuerySet[AuditEntry]":
    """Lines that may hold one of these names; the databases keep letters in two ways."""
    texts = {f"{field}_text": Cast(field, TextField()) for field in ("before", "after")}
    lines = AuditEntry.objects.filter(studio=studio).annotate(**texts)
    forms = {form for name in names for form in as_kept(name)}
    asked = (Q(**{f"{text}__icontains": form}) for text in texts for form in forms)
    return lines.filter(reduce(or_, asked, Q(pk__in=[])))
