from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("planning", "0004_drawings_compared")]

    operations = [
        migrations.AddField(
            model_name="assignment",
            name="ideas_counted",
            field=models.BooleanField(default=True, verbose_name="ideas are counted"),
        ),
    ]
