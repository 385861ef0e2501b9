# Begun by Django 5.2.19 on 2026-11-29 07:43

from typing import Any

from django.db import migrations, models

PLACE = models.PositiveIntegerField(
    default=0,
    editable=False,
    help_text="Where it stands among the entries and decisions of the fitting, whatever clocks say.",
)


class AddInPlace(migrations.AddField):
    """SQLite gets the column as PostgreSQL does: the rows stay where they lie. By itself Django
    writes each table and its indexes anew, only so that the table says no default."""

    def database_forwards(self, app_label: str, schema_editor: Any, from_state: Any, to_state: Any) -> None:
        if schema_editor.connection.vendor != "sqlite":
            super().database_forwards(app_label, schema_editor, from_state, to_state)
            return
        table = to_state.apps.get_model(app_label, self.model_name)._meta.db_table
        schema_editor.execute(
            f'ALTER TABLE "{table}" ADD COLUMN "place" integer unsigned NOT NULL DEFAULT 0 '
            'CHECK ("place" >= 0)'
        )


class Migration(migrations.Migration):

    dependencies = [
        ('fittings', '0023_index_of_recorded_minutes'),
    ]

    operations = [
        migrations.AlterModelOptions(
            name='decision',
            options={'ordering': ['place', 'decided_at', 'pk']},
        ),
        migrations.AlterModelOptions(
            name='entry',
            options={'ordering': ['place', 'made_at', 'received_at', 'pk'], 'verbose_name_plural': 'entries'},
        ),
        AddInPlace('decision', 'place', PLACE),
        AddInPlace('entry', 'place', PLACE),
        AddInPlace('historicaldecision', 'place', PLACE),
        AddInPlace('historicalentry', 'place', PLACE),
    ]
