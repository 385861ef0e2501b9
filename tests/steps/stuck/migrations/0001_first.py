"""A table."""

from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True
    dependencies = [("fittings", "0016_indexes_for_long_lists")]
    operations = [
        migrations.CreateModel(
            name="Mark",
            fields=[("id", models.BigAutoField(primary_key=True)), ("said", models.TextField())],
        )
    ]
