"""A trial: runs side by side in roles, to find which material gives more."""

from django.db import models

from .people import Site
from .run import Run
from .setup import Setup
from .things import Lot


class Trial(Setup):
    """What a trial is about and what is known of its inoculum.

    ``solids`` maps a material, or "inoculum", to replicates of its TS (over fresh mass) and VS
    (over TS): ``{"ts": [...], "vs": [...]}``.
    """

    class MethaneWay(models.TextChoices):
        AS_MADE = "as_made", "by the gas as it was made, air left aside"
        BY_CONTENT = "by_content", "by what left the bottle and what was still in it"

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="trials")
    ratio = models.FloatField(
        null=True, blank=True, help_text="Inoculum to substrate by VS, as intended."
    )
    temperature_c = models.FloatField(null=True, blank=True, help_text="Kept at [degC].")
    inoculum_ph = models.FloatField(null=True, blank=True)
    inoculum_alkalinity = models.FloatField(null=True, blank=True, help_text="As CaCO3 [kg/m3].")
    solids_measured = models.PositiveIntegerField(
        null=True, blank=True, help_text="How often TS and VS of each material were measured."
    )
    solids = models.JSONField(
        default=dict, blank=True, help_text="Replicates of TS and VS, by material."
    )
    methane_way = models.CharField(
        max_length=12, choices=MethaneWay.choices, default=MethaneWay.AS_MADE
    )
    scale_u_kg = models.FloatField(
        null=True, blank=True, help_text="Standard uncertainty of what was weighed in [kg]."
    )
    mixtures = models.JSONField(
        default=dict, blank=True, help_text="Mixture to its parts and their shares of its VS."
    )
    class_mode = models.BooleanField(
        default=False, help_text="Groups own bottles and see their own beside the whole."
    )


class TrialBottle(Setup):
    """One bottle of a trial: its run, role, place and what was weighed in; named by its label."""

    class Role(models.TextChoices):
        BLANK = "blank", "blank: inoculum only"
        CONTROL = "control", "control: cellulose"
        SAMPLE = "sample", "sample"

    trial = models.ForeignKey(Trial, on_delete=models.PROTECT, related_name="bottles")
    run = models.OneToOneField(Run, on_delete=models.PROTECT, related_name="trial_bottle")
    role = models.CharField(max_length=10, choices=Role.choices)
    material = models.CharField(
        max_length=120, blank=True, help_text="What replicates share; empty in a blank."
    )
    lot = models.ForeignKey(
        Lot, null=True, blank=True, on_delete=models.PROTECT, related_name="trial_bottles"
    )
    inoculum_kg = models.FloatField(help_text="Inoculum weighed in [kg].")
    inoculum_vs = models.FloatField(
        null=True, blank=True, help_text="VS of the inoculum over its fresh mass."
    )
    substrate_kg = models.FloatField(default=0.0, help_text="Substrate weighed in [kg fresh].")
    substrate_vs = models.FloatField(
        null=True, blank=True, help_text="VS of the substrate over its fresh mass."
    )
    substrate_vs_relative_u = models.FloatField(
        default=0.0, help_text="Relative standard error of that."
    )
    block = models.PositiveIntegerField(default=1)
    position = models.PositiveIntegerField(default=0)
    team = models.CharField(max_length=60, blank=True, help_text="Group that looks after it.")
    left_out = models.CharField(
        max_length=200, blank=True, help_text="Why it is left out of the figures; empty: it is in."
    )

    class Meta(Setup.Meta):
        ordering = ["trial", "block", "position", "name"]
        constraints = [
            models.CheckConstraint(
                name="only_blanks_have_no_substrate",
                condition=models.Q(role="blank", substrate_kg=0.0)
                | (~models.Q(role="blank") & models.Q(substrate_kg__gt=0.0)),
            ),
            models.CheckConstraint(
                name="bottle_has_inoculum", condition=models.Q(inoculum_kg__gt=0.0)
            ),
        ]
