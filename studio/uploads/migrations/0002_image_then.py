from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("uploads", "0001_initial")]

    operations = [
        migrations.AddField(
            model_name="storedimage",
            name="then",
            field=models.CharField(blank=True, default="", max_length=40),
            preserve_default=False,
        ),
    ]
