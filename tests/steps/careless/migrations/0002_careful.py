from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("careless", "0001_first")]
    operations = [
        migrations.AddField("cloth", "weight_g", models.PositiveIntegerField(default=0)),
        migrations.RunPython(migrations.RunPython.noop, migrations.RunPython.noop),
    ]
