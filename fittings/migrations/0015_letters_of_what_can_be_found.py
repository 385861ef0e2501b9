"""An index of three letters over what can be found, and what is in the record already.

SQLite: an FTS5 table that holds letters only and reads the words from `fittings_findable`, kept by
triggers. PostgreSQL: pg_trgm where this user may make it; without it the same is found, by reading
every row.
"""

from itertools import islice

from django.db import DatabaseError, migrations, transaction

from fittings.search import words

SQLITE = (
    "CREATE VIRTUAL TABLE fittings_letters USING fts5("
    "folded, content='fittings_findable', content_rowid='id', tokenize='trigram')",
    "CREATE TRIGGER fittings_letters_new AFTER INSERT ON fittings_findable BEGIN "
    "INSERT INTO fittings_letters(rowid, folded) VALUES (new.id, new.folded); END",
    "CREATE TRIGGER fittings_letters_gone AFTER DELETE ON fittings_findable BEGIN "
    "INSERT INTO fittings_letters(fittings_letters, rowid, folded) "
    "VALUES ('delete', old.id, old.folded); END",
    "CREATE TRIGGER fittings_letters_other AFTER UPDATE OF folded ON fittings_findable "
    "WHEN old.folded <> new.folded BEGIN "
    "INSERT INTO fittings_letters(fittings_letters, rowid, folded) "
    "VALUES ('delete', old.id, old.folded); "
    "INSERT INTO fittings_letters(rowid, folded) VALUES (new.id, new.folded); END",
)
SQLITE_BACK = (
    "DROP TRIGGER fittings_letters_other",
    "DROP TRIGGER fittings_letters_gone",
    "DROP TRIGGER fittings_letters_new",
    "DROP TABLE fittings_letters",
)
POSTGRES = (
    "CREATE EXTENSION IF NOT EXISTS pg_trgm",
    "CREATE INDEX fittings_letters ON fittings_findable USING gin (folded gin_trgm_ops)",
)
AT_ONCE = 1000


def lay_index(apps, schema_editor):
    connection = schema_editor.connection
    if connection.vendor == "sqlite":
        for order in SQLITE:
            schema_editor.execute(order)
    elif connection.vendor == "postgresql":
        try:
            with transaction.atomic(using=connection.alias):
                for order in POSTGRES:
                    schema_editor.execute(order)
        except DatabaseError:
            return  # not allowed to make the extension: found by reading every row


def take_index(apps, schema_editor):
    """The extension stays: others may use it."""
    vendor = schema_editor.connection.vendor
    for order in SQLITE_BACK if vendor == "sqlite" else ("DROP INDEX IF EXISTS fittings_letters",):
        schema_editor.execute(order)


def fill(apps, schema_editor):
    def rows_of(app, name):
        return apps.get_model(app, name).objects.using(schema_editor.connection.alias)

    Findable = apps.get_model("fittings", "Findable")
    orders, tickets = rows_of("fittings", "Order"), rows_of("fittings", "Ticket")
    there = {
        "customer": rows_of("fittings", "Customer").filter(erased_on=None),
        "order": orders.filter(customer__erased_on=None).select_related("customer"),
        "ticket": tickets.filter(order__customer__erased_on=None)
        .select_related("order__customer")
        .defer("content"),
        "pattern": rows_of("patterns", "Pattern"),
    }
    for kind, rows in there.items():
        shown = kind in words.WORKROOM_TOO
        found = (
            Findable(
                kind=kind, object_id=row.pk, folded=words.OF[kind](row), workroom_too=shown
            )
            for row in rows.order_by("pk").iterator(AT_ONCE)
        )
        while some := list(islice(found, AT_ONCE)):
            rows_of("fittings", "Findable").bulk_create(some)


def empty(apps, schema_editor):
    alias = schema_editor.connection.alias
    apps.get_model("fittings", "Findable").objects.using(alias).all().delete()


class Migration(migrations.Migration):
    dependencies = [
        ("fittings", "0014_what_can_be_found_planned_fittings_calendar_feeds"),
        ("patterns", "0002_initial"),
    ]

    operations = [
        migrations.RunPython(lay_index, take_index),
        migrations.RunPython(fill, empty),
    ]
