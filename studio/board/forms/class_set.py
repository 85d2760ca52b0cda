"""Which true-size prints are made of a whole class."""

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.plans.paper_sizes import PAPERS
from planning.plans.papers import Paper


class ClassSetForm(forms.Form):
    papers = forms.MultipleChoiceField(
        label=_("Prints"), choices=Paper.choices, widget=forms.CheckboxSelectMultiple
    )
    page = forms.ChoiceField(label=_("Paper"), choices=PAPERS)

    def chosen(self) -> list[Paper]:
        return [Paper(each) for each in self.cleaned_data["papers"]]
