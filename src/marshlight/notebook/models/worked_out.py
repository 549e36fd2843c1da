"""What was worked out of a run, and what was shown of it: kept to be quick, made anew at any time.

Not records: they may be overwritten, no archive holds them, and no history is kept.
"""

from django.db import models

from .people import Person
from .run import Run


class Finding(models.Model):
    """What was made of a run when it was last worked out, as lists of many runs show it."""

    run = models.OneToOneField(
        Run, on_delete=models.CASCADE, primary_key=True, related_name="finding"
    )
    rests_on = models.CharField(max_length=64, help_text="Revision of the log it was made from.")
    worked_at = models.DateTimeField()
    took_s = models.FloatField(default=0.0, help_text="Time it took to work out [s].")
    rank = models.PositiveSmallIntegerField(help_text="0 is the most urgent.")
    state = models.CharField(max_length=40)
    keeper = models.ForeignKey(
        Person,
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="+",
        help_text="Who wrote in the log last.",
    )
    read_at = models.DateTimeField(null=True, blank=True, help_text="Newest reading.")
    said = models.JSONField(default=dict, help_text="Figures in base units, sentences in metric.")
    trouble = models.TextField(blank=True, help_text="Why it could not be worked out.")

    class Meta:
        indexes = [models.Index(fields=["rank"], name="finding_by_rank")]

    def __str__(self) -> str:
        return f"{self.run_id}: {self.state}"


class AdviceLook(models.Model):
    """The advice that somebody was shown last, and how it had changed from the look before."""

    run = models.OneToOneField(
        Run, on_delete=models.CASCADE, primary_key=True, related_name="advice_look"
    )
    at = models.DateTimeField(help_text="When this list was looked at last.")
    shown = models.JSONField(default=list, help_text="Key and words of each piece, in order.")
    rests_on = models.CharField(max_length=64)
    changed_at = models.DateTimeField(null=True, blank=True, help_text="When the list changed.")
    change = models.TextField(blank=True, help_text="What had changed then, and why.")

    def __str__(self) -> str:
        return f"{self.run_id}: {len(self.shown)} pieces"
