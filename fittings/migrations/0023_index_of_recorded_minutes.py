from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("fittings", "0022_inlays_of_the_rest_of_the_garment")]

    operations = [
        migrations.AddIndex(
            model_name="ticketline",
            index=models.Index(
                fields=["operation", "at_check", "minutes"],
                condition=models.Q(("minutes__isnull", False)),
                name="lines_recorded",
            ),
        ),
    ]
