"""Where the digesters stand and who looks after them."""

from django.conf import settings
from django.db import models

from .setup import Setup


class Site(Setup):
    """A place: its air pressure, its clock and the units its people think in."""

    class Units(models.TextChoices):
        METRIC = "metric", "metric"
        US = "us", "US customary"

    altitude_m = models.FloatField(null=True, blank=True, help_text="Height above sea level [m].")
    barometer_kpa = models.FloatField(
        null=True, blank=True, help_text="Usual absolute air pressure at the site [kPa]."
    )
    room_temperature_c = models.FloatField(
        null=True, blank=True, help_text="Usual temperature around the vessels [degC]."
    )
    room_low_c = models.FloatField(null=True, blank=True, help_text="Coldest usual [degC].")
    room_high_c = models.FloatField(null=True, blank=True, help_text="Warmest usual [degC].")
    room_volume_m3 = models.FloatField(
        null=True, blank=True, help_text="Room that gas would leak into [m3]."
    )
    room_air_changes = models.FloatField(
        null=True, blank=True, help_text="Air changes of that room [1/h]."
    )
    gas_let_out = models.CharField(
        max_length=12, blank=True, default="", help_text="Where relief and first gas lead."
    )
    energy_price = models.FloatField(
        null=True, blank=True, help_text="Price of a kilowatt-hour [money/kWh]."
    )
    time_zone = models.CharField(
        max_length=60, default="UTC", help_text="Name from the IANA list, such as Europe/Paris."
    )
    units = models.CharField(max_length=10, choices=Units.choices, default=Units.METRIC)
    currency = models.CharField(max_length=8, blank=True)
    invented = models.BooleanField(default=False, help_text="Demonstration data, not real.")


class Person(Setup):
    """Someone who writes in the notebook; named by role where no name is wanted.

    A group of a class goes by the name that its bottles' ``team`` bears; no pupil is named.
    """

    class Role(models.TextChoices):
        LEAD = "lead", "lead: sets up, invites, records"
        KEEPER = "keeper", "keeper: records and corrects"
        READER = "reader", "reader: looks only"
        GROUP = "group", "group of a class: its own bottles of a trial only"

    role = models.CharField(max_length=10, choices=Role.choices, default=Role.KEEPER)
    user = models.OneToOneField(
        settings.AUTH_USER_MODEL,
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="person",
    )
