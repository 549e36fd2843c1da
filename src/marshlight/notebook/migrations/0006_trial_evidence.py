"""What a trial's figures rest on: replicates of solids, way of reckoning methane, the scale."""

from typing import Any

from django.db import migrations, models

from marshlight.notebook import guards

TABLES = ("notebook_trial",)


def put_up(apps: Any, schema_editor: Any) -> None:
    """Create the guards again: SQLite makes the table anew to add a column, and drops them."""
    guards.take_down(schema_editor.connection, TABLES)
    guards.put_up(schema_editor.connection, TABLES)


class Migration(migrations.Migration):
    """Three columns of trials, and the role of a group of a class."""

    dependencies = [("notebook", "0005_worked_out")]
    operations = [
        migrations.AddField(
            model_name="trial",
            name="solids",
            field=models.JSONField(
                blank=True, default=dict, help_text="Replicates of TS and VS, by material."
            ),
        ),
        migrations.AddField(
            model_name="trial",
            name="methane_way",
            field=models.CharField(
                choices=[
                    ("as_made", "by the gas as it was made, air left aside"),
                    ("by_content", "by what left the bottle and what was still in it"),
                ],
                default="as_made",
                max_length=12,
            ),
        ),
        migrations.AddField(
            model_name="trial",
            name="scale_u_kg",
            field=models.FloatField(
                blank=True,
                help_text="Standard uncertainty of what was weighed in [kg].",
                null=True,
            ),
        ),
        migrations.AlterField(
            model_name="person",
            name="role",
            field=models.CharField(
                choices=[
                    ("lead", "lead: sets up, invites, records"),
                    ("keeper", "keeper: records and corrects"),
                    ("reader", "reader: looks only"),
                    ("group", "group of a class: its own bottles of a trial only"),
                ],
                default="keeper",
                max_length=10,
            ),
        ),
        migrations.RunPython(put_up, migrations.RunPython.noop),
    ]
