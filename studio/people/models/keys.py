"""What is kept about how people and programs get in, and which requests were answered."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from .base import Identified
from .person import User


class SignInGuess(models.Model):
    """Wrong passwords for one name from one address; both together, since a class shares one."""

    name_key = models.CharField(max_length=200)
    address = models.GenericIPAddressField()
    wrong = models.PositiveIntegerField(default=0)
    last_at = models.DateTimeField()

    class Meta:
        constraints = (
            models.UniqueConstraint("name_key", "address", name="guess_per_name_and_address"),
        )
        indexes = (models.Index(fields=("last_at",), name="guess_by_time"),)

    def __str__(self) -> str:
        return f"{self.name_key} {self.address}"


class ApiToken(Identified):
    """A staff member's key for programs: kept hashed, named, scoped, ending."""

    class Scope(models.TextChoices):
        READ = "read", _("read only")
        WRITE = "write", _("read and write")

    person = models.ForeignKey(User, on_delete=models.CASCADE, related_name="api_tokens")
    name = models.CharField(_("what it is for"), max_length=80)
    digest = models.CharField(max_length=64, unique=True)
    scope = models.CharField(_("may"), max_length=5, choices=Scope.choices, default=Scope.READ)
    created_at = models.DateTimeField()
    ends_at = models.DateTimeField(_("ends"))
    last_used_on = models.DateField(null=True)

    class Meta:
        ordering = ("-created_at",)

    def __str__(self) -> str:
        return self.name


class IdempotencyKey(models.Model):
    """A request that was answered once; its retry gets the same answer."""

    person = models.ForeignKey(User, on_delete=models.CASCADE, related_name="+")
    key = models.CharField(max_length=80)
    request_digest = models.CharField(max_length=64)
    status = models.PositiveSmallIntegerField()
    answer = models.JSONField()
    at = models.DateTimeField()

    class Meta:
        constraints = (
            models.UniqueConstraint("person", "key", name="idempotency_key_once_per_person"),
        )

    def __str__(self) -> str:
        return self.key
