"""Put up the triggers that refuse to delete trials and their bottles."""

from typing import Any

from django.db import migrations

from marshlight.notebook import guards


def put_up(apps: Any, schema_editor: Any) -> None:
    """Create the guards."""
    guards.put_up(schema_editor.connection, guards.LATER_TABLES)


def take_down(apps: Any, schema_editor: Any) -> None:
    """Drop the guards."""
    guards.take_down(schema_editor.connection, guards.LATER_TABLES)


class Migration(migrations.Migration):
    """Guards on the tables of trials."""

    dependencies = [("notebook", "0003_trial")]
    operations = [migrations.RunPython(put_up, take_down)]
