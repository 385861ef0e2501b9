"""The table that counts wrong tries for all processes; made here so that `migrate` is enough."""

from django.core.management import call_command
from django.db import migrations


def make(apps, schema_editor):
    call_command("createcachetable", database=schema_editor.connection.alias, verbosity=0)


def remove(apps, schema_editor):
    schema_editor.execute("DROP TABLE IF EXISTS shop_cache")


class Migration(migrations.Migration):
    dependencies = [("tailorshop", "0002_keeper_quick_codes_trail_and_forms_sent_once")]
    operations = [migrations.RunPython(make, remove)]
