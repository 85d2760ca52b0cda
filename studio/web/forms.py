"""How every form is drawn: our templates for a form and a field, Django's for the widgets."""

from django.forms.renderers import TemplatesSetting


class Renderer(TemplatesSetting):
    form_template_name = "forms/form.html"
    field_template_name = "forms/field.html"
    formset_template_name = "forms/formset.html"
