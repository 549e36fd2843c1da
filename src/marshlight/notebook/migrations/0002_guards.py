"""Put up the triggers that refuse to change or delete what was written."""

from typing import Any

from django.db import migrations

from marshlight.notebook import guards


def put_up(apps: Any, schema_editor: Any) -> None:
    """Create the guards."""
    guards.put_up(schema_editor.connection, guards.FIRST_TABLES)


def take_down(apps: Any, schema_editor: Any) -> None:
    """Drop the guards."""
    guards.take_down(schema_editor.connection)


class Migration(migrations.Migration):
    """Guards on every table of the notebook."""

    dependencies = [("notebook", "0001_initial")]
    operations = [migrations.RunPython(put_up, take_down)]
