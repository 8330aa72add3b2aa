"""The database itself keeps what was printed: no run and no tally is changed."""

from django.db import migrations

TABLES = ("labels_printrun", "labels_labeltally")
SENTENCE = "what was printed stays on record: write a further tally or run"


def sqlite_guards():
    """The triggers of the embedded database, one for each table and verb."""
    return [
        f"""
        CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table}
        BEGIN
            SELECT RAISE(ABORT, '{SENTENCE}');
        END
        """
        for table in TABLES
        for verb in ("UPDATE", "DELETE")
    ]


def sqlite_undo():
    """Take them away again."""
    return [
        f"DROP TRIGGER IF EXISTS {table}_no_{verb}"
        for table in TABLES
        for verb in ("update", "delete")
    ]


FUNCTION = f"""
    CREATE FUNCTION labels_print_only_grows() RETURNS trigger AS $$
    BEGIN
        RAISE EXCEPTION '{SENTENCE}' USING ERRCODE = 'restrict_violation';
    END
    $$ LANGUAGE plpgsql
"""


def postgresql_guards():
    """The function and its triggers on PostgreSQL."""
    return [
        FUNCTION,
        *(
            f"""
            CREATE TRIGGER {table}_no_change BEFORE UPDATE OR DELETE ON {table}
            FOR EACH ROW EXECUTE FUNCTION labels_print_only_grows()
            """
            for table in TABLES
        ),
    ]


def postgresql_undo():
    """Take them away again."""
    return [
        *(f"DROP TRIGGER IF EXISTS {table}_no_change ON {table}" for table in TABLES),
        "DROP FUNCTION IF EXISTS labels_print_only_grows()",
    ]


def put_up(apps, editor):
    """Set the guards of the engine in use."""
    guards = {"sqlite": sqlite_guards, "postgresql": postgresql_guards}
    for statement in guards[editor.connection.vendor]():
        editor.execute(statement)


def take_down(apps, editor):
    """Remove the guards of the engine in use."""
    undo = {"sqlite": sqlite_undo, "postgresql": postgresql_undo}
    for statement in undo[editor.connection.vendor]():
        editor.execute(statement)


class Migration(migrations.Migration):
    """Guards only; the tables are in 0001."""

    dependencies = [("labels", "0001_initial")]

    operations = [migrations.RunPython(put_up, take_down)]
