"""Secrets of second factors that lay open are sealed by the key of the installation."""

from django.db import migrations

from tailorshop.signing_in.sealed import sealed_anew


def seal_them(apps, schema_editor):
    factors = apps.get_model("mfa", "Authenticator").objects.using(schema_editor.connection.alias)
    for factor in factors.all():
        factor.data = sealed_anew(factor.data)
        factor.save(update_fields=["data"])


class Migration(migrations.Migration):

    dependencies = [
        ("tailorshop", "0004_trail_keeps_the_key_of_a_customer"),
        ("mfa", "0003_authenticator_type_uniq"),
    ]

    operations = [migrations.RunPython(seal_them, migrations.RunPython.noop, elidable=True)]
