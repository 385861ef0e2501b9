"""The rows of what can be found get keys that say of what they are, and the letters an index for
each kind: the few of one kind are found without reading past the many of another.
"""

from importlib import import_module

from django.db import DatabaseError, migrations, models, transaction
from django.db.models.functions import Length

from fittings.search import folding

APART = 2**40
KINDS = ("customer", "order", "ticket", "pattern")
WORKROOM_TOO = ("ticket", "pattern")
POSTGRES = [
    f"CREATE INDEX fittings_letters_{kind} ON fittings_findable "
    f"USING gin ((folded || '') gin_trgm_ops) WHERE kind = '{kind}'"
    for kind in KINDS
]
before = import_module("fittings.migrations.0015_letters_of_what_can_be_found")


def on_sqlite(editor):
    return editor.connection.vendor == "sqlite"


def take_letters(apps, editor):
    orders = ["DROP INDEX IF EXISTS fittings_letters"]
    for order in before.SQLITE_BACK if on_sqlite(editor) else orders:
        editor.execute(order)


def letters_again(apps, editor):
    before.lay_index(apps, editor)
    fill_letters(editor)


def lay_letters(apps, editor):
    if on_sqlite(editor):
        letters_again(apps, editor)
        return
    try:
        with transaction.atomic(using=editor.connection.alias):
            for order in POSTGRES:
                editor.execute(order)
    except DatabaseError:
        return  # pg_trgm is not there: found by reading every row of a kind


def take_letters_of_kinds(apps, editor):
    if on_sqlite(editor):
        take_letters(apps, editor)
        return
    for kind in KINDS:
        editor.execute(f"DROP INDEX IF EXISTS fittings_letters_{kind}")


def fill_letters(editor):
    if on_sqlite(editor):
        editor.execute("INSERT INTO fittings_letters(fittings_letters) VALUES ('rebuild')")


def keys_of_kinds(apps, editor):
    for place, kind in enumerate(KINDS, start=1):
        editor.execute(
            f"UPDATE fittings_findable SET id = object_id + {place * APART} WHERE kind = '{kind}'"
        )
    rows = apps.get_model("fittings", "Findable").objects.using(editor.connection.alias)
    for row in rows.annotate(long=Length("folded")).filter(long__gt=folding.MOST_BYTES // 4):
        rows.filter(pk=row.pk).update(folded=folding.cut(row.folded))


def seen_in_the_workroom(apps, editor):
    rows = apps.get_model("fittings", "Findable").objects.using(editor.connection.alias)
    rows.filter(kind__in=WORKROOM_TOO).update(workroom_too=True)


class Migration(migrations.Migration):
    dependencies = [("fittings", "0026_fittings_of_a_day_and_unsigned")]

    operations = [
        migrations.RunPython(take_letters, letters_again),
        migrations.RunPython(keys_of_kinds, migrations.RunPython.noop),
        migrations.RunPython(migrations.RunPython.noop, seen_in_the_workroom),
        migrations.RemoveConstraint(model_name="findable", name="found_once_of_a_kind"),
        migrations.RemoveField(model_name="findable", name="workroom_too"),
        migrations.AddIndex(
            model_name="findable",
            index=models.Index(fields=["kind", "folded", "id"], name="found_in_order"),
        ),
        migrations.RunPython(lay_letters, take_letters_of_kinds),
    ]
