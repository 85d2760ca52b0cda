"""What differs for one student, with the criteria that are left out."""

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from assessments.models import Criterion
from planning.forms.adjustment import AdjustmentForm


class StudentAdjustmentForm(AdjustmentForm):
    exempt = forms.ModelMultipleChoiceField(
        label=_("Not judged by"),
        queryset=Criterion.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    def __init__(self, *args: Any, criteria: QuerySet[Criterion], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        exempt = self.fields["exempt"]
        if isinstance(exempt, forms.ModelMultipleChoiceField):
            exempt.queryset = criteria

    def adjusted(self) -> dict[str, Any]:
        return super().adjusted() | {"exempt": list(self.cleaned_data["exempt"])}
