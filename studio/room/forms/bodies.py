"""Clay bodies as a data sheet gives them."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.room.models import ClayBody
from studio.room.services.bodies import EDITABLE, FIGURES
from studio.web.columns import column, label, limits

from .fields import text


def _figure(name: str) -> forms.DecimalField:
    field = column(ClayBody, name)
    least, most = limits(field)
    return forms.DecimalField(
        label=label(field),
        help_text=field.help_text,
        decimal_places=2,
        min_value=least,
        max_value=most,
        widget=forms.TextInput(
            attrs={"inputmode": "decimal", "autocomplete": "off", "maxlength": 20}
        ),
    )


class BodyForm(forms.Form):
    name = text(ClayBody, "name")
    cone = text(ClayBody, "cone", help_text=_("As it is printed on the bag, such as 06 or 6."))
    wet_density_g_per_cm3 = _figure("wet_density_g_per_cm3")
    water_pct_wet_basis = _figure("water_pct_wet_basis")
    drying_shrinkage_pct = _figure("drying_shrinkage_pct")
    total_shrinkage_pct = _figure("total_shrinkage_pct")
    loss_on_ignition_pct = _figure("loss_on_ignition_pct")
    source = text(ClayBody, "source")


def body_initial(body: ClayBody) -> dict[str, Any]:
    """6.00 is typed as 6."""
    values = {name: getattr(body, name) for name in EDITABLE}
    return values | {name: _short(values[name]) for name in FIGURES}


def _short(figure: Decimal) -> str:
    return f"{figure.normalize():f}"
