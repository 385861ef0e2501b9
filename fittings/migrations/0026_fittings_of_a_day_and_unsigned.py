from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("fittings", "0025_errands_and_who_is_at_work")]

    operations = [
        migrations.AddIndex(
            model_name="fitting",
            index=models.Index(fields=["held_on"], name="fittings_by_day"),
        ),
        migrations.AddIndex(
            model_name="fitting",
            index=models.Index(
                fields=["held_on"],
                condition=models.Q(("signed_at", None)),
                name="fittings_unsigned",
            ),
        ),
    ]
