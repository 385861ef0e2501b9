from django.db import migrations


def nothing(apps, schema_editor):
    pass


class Migration(migrations.Migration):
    dependencies = [("careless", "0003_loses_words")]
    operations = [migrations.RunPython(nothing)]
