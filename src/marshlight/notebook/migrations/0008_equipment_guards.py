"""Put the guards up again on tables that SQLite rebuilt to add columns: rebuilding drops them."""

from typing import Any

from django.db import migrations

from marshlight.notebook import guards

TABLES = ("notebook_vessel", "notebook_heater", "notebook_site", "notebook_holder", "notebook_run")


def put_up_again(apps: Any, schema_editor: Any) -> None:
    """Create the guards whether or not they are still there."""
    guards.take_down(schema_editor.connection, TABLES)
    guards.put_up(schema_editor.connection, TABLES)


class Migration(migrations.Migration):
    """Guards on the tables of equipment."""

    dependencies = [("notebook", "0007_equipment")]
    operations = [migrations.RunPython(put_up_again, migrations.RunPython.noop)]
