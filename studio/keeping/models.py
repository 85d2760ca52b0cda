from django.db import models

from studio.people.models import User


class Erasure(models.Model):
    """A person who was erased. No name stands here.

    `files` are those of theirs that may still lie in the storage: named in the transaction that
    erases, deleted after it, so that a process that dies in between leaves no picture behind.
    """

    person = models.OneToOneField(User, on_delete=models.PROTECT, related_name="erasure")
    by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField()
    files: models.JSONField[list[str], list[str]] = models.JSONField(default=list)

    class Meta:
        ordering = ("at",)

    def __str__(self) -> str:
        return str(self.person_id)
