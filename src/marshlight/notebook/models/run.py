"""One vessel's life from charge to emptying."""

from django.db import models

from .people import Site
from .setup import Setup
from .things import Heater, Holder, Vessel


class Run(Setup):
    """A run: which vessel, which holder, from when to when."""

    class Mode(models.TextChoices):
        BATCH = "batch", "batch: charged once"
        FED = "fed", "fed: charged, then fed and drawn off"

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="runs")
    vessel = models.ForeignKey(Vessel, on_delete=models.PROTECT, related_name="runs")
    holder = models.ForeignKey(
        Holder, null=True, blank=True, on_delete=models.PROTECT, related_name="runs"
    )
    heater = models.ForeignKey(
        Heater, null=True, blank=True, on_delete=models.PROTECT, related_name="runs"
    )
    mode = models.CharField(max_length=10, choices=Mode.choices, default=Mode.BATCH)
    started_at = models.DateTimeField(null=True, blank=True, help_text="Empty while planned.")
    ended_at = models.DateTimeField(null=True, blank=True)
    feed_temperature_c = models.FloatField(
        null=True, blank=True, help_text="Temperature of what is fed [degC]."
    )
    plan = models.JSONField(default=dict, blank=True, help_text="The recipe as it was planned.")

    class Meta(Setup.Meta):
        ordering = ["-started_at", "name"]
        constraints = [
            models.CheckConstraint(
                name="run_ends_after_it_starts",
                condition=models.Q(ended_at__isnull=True)
                | models.Q(ended_at__gte=models.F("started_at")),
            )
        ]
