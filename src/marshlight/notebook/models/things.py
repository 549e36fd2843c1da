"""What goes in, what it goes into, and what keeps it warm."""

from django.db import models

from .people import Site
from .setup import Setup


class Feedstock(Setup):
    """A material of the user's own: measured values, or a change to a library material.

    ``properties`` maps a property name to ``{"value", "low", "high", "source", "note"}``.
    """

    key = models.SlugField(max_length=60, unique=True)
    group = models.CharField(max_length=60, blank=True)
    based_on = models.CharField(max_length=60, blank=True, help_text="Key of a library material.")
    properties = models.JSONField(default=dict, blank=True)
    cautions = models.JSONField(default=list, blank=True)


class Lot(Setup):
    """An amount of one feedstock gathered on one date."""

    class Storage(models.TextChoices):
        COVERED = "covered", "covered"
        OPEN = "open", "open to the air"
        DRY = "dry", "dried"
        COLD = "cold", "cold"

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="lots")
    feedstock = models.ForeignKey(
        Feedstock, null=True, blank=True, on_delete=models.PROTECT, related_name="lots"
    )
    library_key = models.CharField(
        max_length=60, blank=True, help_text="Library material, when not one of one's own."
    )
    gathered_on = models.DateField(null=True, blank=True)
    storage = models.CharField(max_length=10, choices=Storage.choices, default=Storage.COVERED)
    storage_temperature_c = models.FloatField(null=True, blank=True)
    water_lost = models.FloatField(
        default=0.0, help_text="Share of the first water that has dried off, 0 to 0.99."
    )
    amount_kg = models.FloatField(null=True, blank=True, help_text="On hand [kg fresh].")
    cost_per_kg = models.FloatField(
        null=True, blank=True, help_text="Price [money/kg]; negative when taking it is paid."
    )
    measured = models.JSONField(
        default=dict, blank=True, help_text="Lab values that replace the feedstock's own."
    )

    class Meta(Setup.Meta):
        constraints = [
            models.CheckConstraint(
                name="lot_is_of_one_feedstock",
                condition=models.Q(feedstock__isnull=False, library_key="")
                | (models.Q(feedstock__isnull=True) & ~models.Q(library_key="")),
            )
        ]


class Vessel(Setup):
    """What the slurry stands in; ``dimensions`` are in metres under the shape's own names."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="vessels")
    shape = models.CharField(max_length=30, default="given")
    dimensions = models.JSONField(default=dict, blank=True)
    volume_m3 = models.FloatField(help_text="Whole inner volume, brim-full [m3].")
    insulation = models.CharField(max_length=120, blank=True)
    insulation_m = models.FloatField(null=True, blank=True, help_text="Thickness [m].")
    wrapped = models.CharField(max_length=16, blank=True, default="", help_text="What of it.")
    stand = models.CharField(max_length=10, blank=True, default="", help_text="What it stands on.")
    around = models.CharField(max_length=10, blank=True, default="", help_text="Still air or wind.")
    relief = models.CharField(max_length=10, blank=True, default="", help_text="How it breathes.")
    relief_depth_m = models.FloatField(
        null=True, blank=True, help_text="How deep the relief dips [m]."
    )


class Holder(Setup):
    """What the gas is caught or counted in; ``dimensions`` under the kind's own names."""

    class Kind(models.TextChoices):
        FLOATING = "floating", "floating cylinder"
        BAG = "bag", "bag or balloon"
        DISPLACEMENT = "displacement", "water or brine displacement"
        COUNTER = "counter", "gas counter"
        SEALED = "sealed", "sealed vessel, read by pressure"
        SCALE = "scale", "sealed vessel, read by weight"

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="holders")
    kind = models.CharField(max_length=20, choices=Kind.choices)
    dimensions = models.JSONField(default=dict, blank=True)

    dips_m = models.FloatField(
        null=True, blank=True, help_text="Seals the gas bubbles through on its way, together [m]."
    )
    trap_leg_m = models.FloatField(
        null=True, blank=True, help_text="Leg of the condensate trap [m]."
    )

    @property
    def top_level_m(self) -> float | None:
        """Highest level it can show [m], where its dimensions say so."""
        return self.dimensions.get("travel_m") or self.dimensions.get("height_m")

    @property
    def most_m3(self) -> float | None:
        """Most gas it can hold [m3], where its dimensions say so."""
        return self.dimensions.get("capacity_m3")


class Heater(Setup):
    """What keeps the slurry warm."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="heaters")
    kind = models.CharField(max_length=40, blank=True, help_text="Cable, mat, water bath ...")
    power_w = models.FloatField(null=True, blank=True)
    set_point_c = models.FloatField(null=True, blank=True)
    thermostat = models.BooleanField(default=True)
    cut_out = models.BooleanField(
        default=False, help_text="A second, independent cut-out that needs a hand to reset."
    )
    protection = models.CharField(
        max_length=12, blank=True, default="", help_text="How its mains supply is protected."
    )
    made_for_liquids = models.CharField(
        max_length=4, blank=True, default="", help_text="Whether it may be immersed: yes, no."
    )
    supply_c = models.FloatField(
        null=True, blank=True, help_text="Temperature of a bath's or coil's water [degC]."
    )
    tube_m2 = models.FloatField(
        null=True, blank=True, help_text="Outside of a coil's tube in the slurry [m2]."
    )
