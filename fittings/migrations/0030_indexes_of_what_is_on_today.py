from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("fittings", "0029_errand_fetched_at")]

    operations = [
        migrations.RemoveIndex(model_name="fitting", name="fittings_by_day"),
        migrations.RemoveIndex(model_name="fitting", name="fittings_unsigned"),
        migrations.AddIndex(
            model_name="fitting",
            index=models.Index(fields=["-held_on", "-id"], name="fittings_newest_first"),
        ),
        migrations.AddIndex(
            model_name="fitting",
            index=models.Index(
                fields=["-held_on", "-id"],
                condition=models.Q(("signed_at", None)),
                name="fittings_to_sign",
            ),
        ),
        migrations.AddIndex(
            model_name="order",
            index=models.Index(
                fields=["promised_on", "id"],
                condition=models.Q(
                    ("stage__in", ["measured", "cut", "baste", "forward", "finish"])
                ),
                name="orders_in_hand",
            ),
        ),
    ]
