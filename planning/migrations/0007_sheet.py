import uuid

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("planning", "0006_ideas_put_right"),
        ("uploads", "0002_image_then"),
    ]

    operations = [
        migrations.CreateModel(
            name="Sheet",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("boxes", models.JSONField(null=True)),
                (
                    "found",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("several", "several drawings"),
                            ("one", "one drawing"),
                            ("none", "no drawing"),
                            ("unread", "could not be taken apart"),
                            ("uncut", "its drawings could not be cut out"),
                        ],
                        max_length=8,
                    ),
                ),
                ("edition", models.PositiveIntegerField(default=0)),
                ("added_at", models.DateTimeField()),
                ("taken_at", models.DateTimeField(null=True)),
                (
                    "image",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="uploads.storedimage",
                    ),
                ),
                (
                    "piece",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="sheets",
                        to="planning.piece",
                    ),
                ),
            ],
            options={
                "ordering": ("-added_at", "pk"),
            },
        ),
        migrations.AddField(
            model_name="thumbnail",
            name="sheet",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="thumbnails",
                to="planning.sheet",
            ),
        ),
        migrations.AddField(
            model_name="thumbnail",
            name="box",
            field=models.JSONField(blank=True, null=True),
        ),
    ]
