"""Which rubric a class is marked by."""

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from assessments.models import RubricVersion


class _Versions(forms.ModelChoiceField[RubricVersion]):
    def label_from_instance(self, obj: Any) -> str:
        words = {"title": obj.rubric.title, "number": obj.number}
        return _("%(title)s, version %(number)s") % words


class ChooseRubricForm(forms.Form):
    version = _Versions(
        label=gettext_lazy("Rubric"), queryset=RubricVersion.objects.none(), empty_label=None
    )

    def __init__(
        self, data: Any, *, versions: "QuerySet[RubricVersion]", kept: RubricVersion | None
    ) -> None:
        super().__init__(data, initial={"version": kept.pk if kept else None})
        version = self.fields["version"]
        if isinstance(version, forms.ModelChoiceField):
            version.queryset = versions
