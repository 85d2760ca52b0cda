from typing import Any, ClassVar, Self

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _

from .base import Identified
from .studio import Studio


class Role(models.TextChoices):
    HEAD = "head", _("head")
    TEACHER = "teacher", _("teacher")
    TECHNICIAN = "technician", _("technician")
    STUDENT = "student", _("student")


class UserQuerySet(models.QuerySet["User"]):
    def visible_to(self, person: "User") -> Self:
        """Heads: the studio's people. Teachers: students now in their classes. All: themselves."""
        own = models.Q(pk=person.pk)
        if person.role == Role.HEAD:
            return self.filter(own | models.Q(studio=person.studio_id))
        if person.role == Role.TEACHER:
            taught = models.Q(
                role=Role.STUDENT,
                enrolments__left_on__isnull=True,
                enrolments__section__teachings__teacher=person,
            )
            inside = self.model._base_manager.filter(taught, studio=person.studio_id)
            return self.filter(own | models.Q(pk__in=inside.values("pk")))
        return self.filter(own)

    def students(self) -> Self:
        return self.filter(role=Role.STUDENT)

    def staff(self) -> Self:
        return self.filter(role__in=[Role.HEAD, Role.TEACHER, Role.TECHNICIAN])


class UserManager(BaseUserManager["User"]):
    def create_user(self, username: str, password: str | None = None, **fields: Any) -> "User":
        """A usable account; without a studio unless one is given."""
        person = self.model(username=username, **fields)
        person.set_password(password)
        person.save(using=self._db)
        return person

    def create_superuser(self, username: str, password: str | None = None, **fields: Any) -> "User":
        """Django's command asks for this; here it is an account without a studio."""
        return self.create_user(username, password, **fields)


class User(Identified, AbstractBaseUser):
    """A person with an account. It belongs to one studio; its sign-in name is unique there."""

    studio = models.ForeignKey(
        Studio, on_delete=models.PROTECT, null=True, blank=True, related_name="people"
    )
    role = models.CharField(_("role"), max_length=12, choices=Role.choices, blank=True)
    username = models.CharField(_("sign-in name"), max_length=150)
    given_name = models.CharField(_("given name"), max_length=80, blank=True)
    family_name = models.CharField(_("family name"), max_length=80, blank=True)
    sourced_id = models.CharField(_("id in the school's roster"), max_length=255, blank=True)
    is_active = models.BooleanField(_("may sign in"), default=True)
    must_change_password = models.BooleanField(default=False)
    first_password_ends_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    objects = UserManager.from_queryset(UserQuerySet)()

    USERNAME_FIELD = "username"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    class Meta:
        ordering = ("family_name", "given_name", "username")
        constraints = (
            models.UniqueConstraint(
                Lower("username"), "studio", name="person_username_unique_in_studio"
            ),
            models.UniqueConstraint(
                Lower("username"),
                condition=models.Q(studio__isnull=True),
                name="person_username_unique_without_studio",
            ),
            models.UniqueConstraint(
                "studio",
                "sourced_id",
                condition=~models.Q(sourced_id=""),
                name="person_sourced_id_unique_in_studio",
            ),
            models.CheckConstraint(
                condition=models.Q(studio__isnull=True, role="")
                | models.Q(studio__isnull=False, role__in=Role.values),
                name="person_role_belongs_to_a_studio",
            ),
        )

    def __str__(self) -> str:
        return self.name

    @property
    def name(self) -> str:
        return f"{self.given_name} {self.family_name}".strip() or self.username

    @property
    def short_name(self) -> str:
        """First name and initial, as on walls and shelves; whoever has one name, all of it."""
        if not (self.given_name and self.family_name):
            return self.name
        return f"{self.given_name} {self.family_name[0]}."

    @property
    def is_head(self) -> bool:
        return self.role == Role.HEAD

    @property
    def is_student(self) -> bool:
        return self.role == Role.STUDENT

    @property
    def teaches(self) -> bool:
        """Sets briefs and approves plans: heads and teachers."""
        return self.role in {Role.HEAD, Role.TEACHER}

    @property
    def is_staff(self) -> bool:
        return self.role in {Role.HEAD, Role.TEACHER, Role.TECHNICIAN}
