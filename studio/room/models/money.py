from django.core.validators import RegexValidator
from django.db import models
from django.utils.translation import gettext_lazy as _


def currency() -> "models.CharField[str, str]":
    """In which currency the prices of a row are."""
    return models.CharField(
        _("currency"),
        max_length=3,
        blank=True,
        validators=[RegexValidator(r"\A[A-Z]{3}\Z", _("Three capital letters, such as EUR."))],
        help_text=_("Its three letters by ISO 4217, such as EUR or USD."),
    )
