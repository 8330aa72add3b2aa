"""The database itself keeps the ledger: no update, no delete, no lot below zero."""

from django.db import migrations

TABLE = "inventory_movement"

SQLITE = [
    f"""
    CREATE TRIGGER inventory_movement_no_update BEFORE UPDATE ON {TABLE}
    BEGIN
        SELECT RAISE(ABORT, 'the ledger only grows: correct by a new row');
    END
    """,
    f"""
    CREATE TRIGGER inventory_movement_no_delete BEFORE DELETE ON {TABLE}
    BEGIN
        SELECT RAISE(ABORT, 'the ledger only grows: correct by a new row');
    END
    """,
    # Decimals are floats here, so the sum is rounded to the three places they have.
    f"""
    CREATE TRIGGER inventory_movement_not_below_zero AFTER INSERT ON {TABLE}
    WHEN NEW.quantity < 0
    BEGIN
        SELECT RAISE(ABORT, 'the lot would fall below zero at this place')
        WHERE (
            SELECT ROUND(SUM(quantity), 3) FROM {TABLE}
            WHERE lot_id = NEW.lot_id AND place_id IS NEW.place_id
        ) < 0;
    END
    """,
]
SQLITE_UNDO = [
    "DROP TRIGGER IF EXISTS inventory_movement_not_below_zero",
    "DROP TRIGGER IF EXISTS inventory_movement_no_delete",
    "DROP TRIGGER IF EXISTS inventory_movement_no_update",
]

POSTGRESQL = [
    """
    CREATE FUNCTION inventory_movement_only_grows() RETURNS trigger AS $$
    BEGIN
        RAISE EXCEPTION 'the ledger only grows: correct by a new row'
            USING ERRCODE = 'restrict_violation';
    END
    $$ LANGUAGE plpgsql
    """,
    # The lot's row is the lock: writers of one lot go one after the other, and each
    # sum is taken after the writer before has committed.
    f"""
    CREATE FUNCTION inventory_movement_enough() RETURNS trigger AS $$
    DECLARE
        there numeric;
    BEGIN
        PERFORM 1 FROM inventory_lot WHERE id = NEW.lot_id FOR UPDATE;
        SELECT COALESCE(SUM(quantity), 0) INTO there FROM {TABLE}
            WHERE lot_id = NEW.lot_id
            AND place_id IS NOT DISTINCT FROM NEW.place_id;
        IF NEW.quantity < 0 AND there + NEW.quantity < 0 THEN
            RAISE EXCEPTION 'the lot would fall below zero at this place'
                USING ERRCODE = 'check_violation';
        END IF;
        RETURN NEW;
    END
    $$ LANGUAGE plpgsql
    """,
    f"""
    CREATE TRIGGER inventory_movement_no_change BEFORE UPDATE OR DELETE ON {TABLE}
    FOR EACH ROW EXECUTE FUNCTION inventory_movement_only_grows()
    """,
    f"""
    CREATE TRIGGER inventory_movement_no_truncate BEFORE TRUNCATE ON {TABLE}
    FOR EACH STATEMENT EXECUTE FUNCTION inventory_movement_only_grows()
    """,
    f"""
    CREATE TRIGGER inventory_movement_not_below_zero BEFORE INSERT ON {TABLE}
    FOR EACH ROW EXECUTE FUNCTION inventory_movement_enough()
    """,
]
POSTGRESQL_UNDO = [
    f"DROP TRIGGER IF EXISTS inventory_movement_not_below_zero ON {TABLE}",
    f"DROP TRIGGER IF EXISTS inventory_movement_no_truncate ON {TABLE}",
    f"DROP TRIGGER IF EXISTS inventory_movement_no_change ON {TABLE}",
    "DROP FUNCTION IF EXISTS inventory_movement_enough()",
    "DROP FUNCTION IF EXISTS inventory_movement_only_grows()",
]
STATEMENTS = {"sqlite": (SQLITE, SQLITE_UNDO), "postgresql": (POSTGRESQL, POSTGRESQL_UNDO)}


def put_up(apps, schema_editor):
    for statement in STATEMENTS[schema_editor.connection.vendor][0]:
        schema_editor.execute(statement)


def take_down(apps, schema_editor):
    for statement in STATEMENTS[schema_editor.connection.vendor][1]:
        schema_editor.execute(statement)


class Migration(migrations.Migration):
    dependencies = [("inventory", "0001_initial")]
    operations = [migrations.RunPython(put_up, take_down)]
