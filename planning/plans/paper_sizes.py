"""The papers that true-size prints come on."""

from django.utils.translation import gettext_lazy as _

from studio.people.models import PaperSize

PAPERS = (*PaperSize.choices, ("a3", _("A3")), ("tabloid", _("11 × 17 in")))
