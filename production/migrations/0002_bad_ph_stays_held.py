"""The database itself keeps a batch with a bad pH from being released.

Four rules hold whatever page, command, import or hand writes the rows:

1. a batch is not released while a standing pH reading of it is above its limit
   (4.6 where it has none, 21 CFR 114.3), nor, where its recipe asks for a pH,
   without a limit to hold it to;
2. such a reading is not written onto a released batch: hold the batch first;
3. a pH above the limit is neither changed, undone nor deleted;
4. jars of a batch are not marked as released while the batch is not.
"""

from django.db import migrations

STANDING_BAD = """
    SELECT 1 FROM production_reading r
    WHERE r.batch_id = NEW.id AND r.kind = 'ph' AND NOT r.is_undone
      AND r.value > COALESCE(NEW.ph_limit, 4.6)
"""
ASKED = """
    SELECT 1 FROM production_recipeversion v
    WHERE v.id = NEW.version_id AND v.ph_required
"""
BATCH_BAD = f"""
    NEW.status = 'released' AND (
        EXISTS ({STANDING_BAD}) OR (NEW.ph_limit IS NULL AND EXISTS ({ASKED}))
    )
"""
READING_BAD = """
    NEW.kind = 'ph' AND NOT NEW.is_undone AND EXISTS (
        SELECT 1 FROM production_batch b
        WHERE b.id = NEW.batch_id AND b.status = 'released'
          AND NEW.value > COALESCE(b.ph_limit, 4.6)
    )
"""
READING_KEPT = """
    OLD.kind = 'ph' AND EXISTS (
        SELECT 1 FROM production_batch b
        WHERE b.id = OLD.batch_id AND OLD.value > COALESCE(b.ph_limit, 4.6)
    )
"""
LOT_EARLY = """
    NEW.released_at IS NOT NULL AND EXISTS (
        SELECT 1 FROM production_batchoutput o
        JOIN production_batch b ON b.id = o.batch_id
        WHERE o.lot_id IN (NEW.id, NEW.split_from_id)
          AND b.status NOT IN ('released', 'recalled')
    )
"""
OUTPUT_EARLY = """
    EXISTS (
        SELECT 1 FROM production_batch b JOIN inventory_lot l ON l.id = NEW.lot_id
        WHERE b.id = NEW.batch_id AND l.released_at IS NOT NULL
          AND b.status NOT IN ('released', 'recalled')
    )
"""
GUARDS = [
    (
        "production_batch_bad_ph",
        "production_batch",
        ("INSERT", "UPDATE"),
        BATCH_BAD,
        "a batch whose pH is above the limit, or was not measured, stays held",
    ),
    (
        "production_reading_bad_ph",
        "production_reading",
        ("INSERT", "UPDATE"),
        READING_BAD,
        "hold the batch before a pH above the limit is written down",
    ),
    (
        "production_reading_kept",
        "production_reading",
        ("UPDATE", "DELETE"),
        READING_KEPT,
        "a pH above the limit is never changed, undone or deleted",
    ),
    (
        "production_lot_early",
        "inventory_lot",
        ("INSERT", "UPDATE"),
        LOT_EARLY,
        "jars are released with their batch only",
    ),
    (
        "production_output_early",
        "production_batchoutput",
        ("INSERT", "UPDATE"),
        OUTPUT_EARLY,
        "jars are released with their batch only",
    ),
]


def guard(apps, schema_editor):
    for name, table, events, condition, words in GUARDS:
        for event in events:
            if schema_editor.connection.vendor == "postgresql":
                _guard_postgresql(schema_editor, name, table, event, condition, words)
            else:
                schema_editor.execute(
                    f"CREATE TRIGGER {name}_{event.lower()} BEFORE {event} ON {table} "
                    f"FOR EACH ROW WHEN {condition} "
                    f"BEGIN SELECT RAISE(ABORT, '{words}'); END"
                )


def _guard_postgresql(schema_editor, name, table, event, condition, words):
    trigger = f"{name}_{event.lower()}"
    kept = "OLD" if event == "DELETE" else "NEW"
    schema_editor.execute(
        f"CREATE FUNCTION {trigger}() RETURNS trigger AS $$ BEGIN "
        f"IF {condition} THEN RAISE EXCEPTION '{words}' "
        "USING ERRCODE = 'integrity_constraint_violation'; END IF; "
        f"RETURN {kept}; END $$ LANGUAGE plpgsql"
    )
    schema_editor.execute(
        f"CREATE TRIGGER {trigger} BEFORE {event} ON {table} "
        f"FOR EACH ROW EXECUTE FUNCTION {trigger}()"
    )


def unguard(apps, schema_editor):
    for name, table, events, _, _ in GUARDS:
        for event in events:
            trigger = f"{name}_{event.lower()}"
            if schema_editor.connection.vendor == "postgresql":
                schema_editor.execute(f"DROP TRIGGER {trigger} ON {table}")
                schema_editor.execute(f"DROP FUNCTION {trigger}()")
            else:
                schema_editor.execute(f"DROP TRIGGER {trigger}")


class Migration(migrations.Migration):
    dependencies = [
        ("production", "0001_initial"),
        ("inventory", "0001_initial"),
    ]

    operations = [migrations.RunPython(guard, unguard)]
