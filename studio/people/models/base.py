"""What every row of a studio shares."""

import uuid

from django.db import models


class Identified(models.Model):
    """A random UUID, since ids stand in addresses."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)

    class Meta:
        abstract = True
