"""What was seen and done: events and readings, written once, corrected by new versions."""

from typing import Any

from django.db import models
from django.utils import timezone

from .people import Person
from .run import Run
from .setup import Fixed, FixedQuerySet


class ImportBatch(Fixed):
    """One file of readings that was taken in."""

    run = models.ForeignKey(Run, on_delete=models.PROTECT, related_name="imports")
    file_name = models.CharField(max_length=255)
    file_sha256 = models.CharField(max_length=64)
    columns = models.JSONField(help_text="How the columns were understood.")
    rows_in_file = models.PositiveIntegerField()
    records_added = models.PositiveIntegerField()
    records_already_kept = models.PositiveIntegerField()
    rows_left_out = models.JSONField(default=list, help_text="Rows left out on request, and why.")
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="imports"
    )

    class Meta:
        ordering = ["-at"]

    def __str__(self) -> str:
        return f"{self.file_name}, {self.records_added} records"


class LogQuerySet(FixedQuerySet):
    """Queries over versioned log records."""

    def current(self) -> "LogQuerySet":
        """The newest version of each record, without those retracted."""
        return self.filter(superseded_by__isnull=True, retracted=False)

    def newest(self) -> "LogQuerySet":
        """The newest version of each record, retracted or not."""
        return self.filter(superseded_by__isnull=True)


class LogRecord(Fixed):
    """Base of `Event` and `Reading`: one version of something seen or done.

    ``value`` is in base units (kg, m3, m, degC, kPa ...); ``entered`` is the text as it was
    written and ``unit`` the unit it was meant in.  ``first_id`` is shared by all versions.
    """

    at = models.DateTimeField(help_text="When it was seen or done.")
    kind = models.CharField(max_length=30)
    value = models.FloatField(null=True, blank=True)
    unit = models.CharField(max_length=30, blank=True)
    entered = models.CharField(max_length=200, blank=True)
    detail = models.JSONField(default=dict, blank=True)
    note = models.TextField(blank=True)
    entered_at = models.DateTimeField(default=timezone.now)
    first_id = models.UUIDField(editable=False)
    version = models.PositiveIntegerField(default=1)
    reason = models.CharField(max_length=400, blank=True, help_text="Why this version was made.")
    retracted = models.BooleanField(default=False)
    fingerprint = models.CharField(max_length=64, blank=True)

    objects = LogQuerySet.as_manager()

    class Meta:
        abstract = True
        ordering = ["at", "id"]

    def __str__(self) -> str:
        return f"{self.kind} {self.entered}".strip()

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Save a new version; a record's first version starts its own history."""
        if self.first_id is None:
            self.first_id = self.id
        super().save(*args, **kwargs)

    @property
    def is_current(self) -> bool:
        """Whether this is the newest version and not retracted."""
        newer = type(self).objects.filter(supersedes=self).exists()
        return not newer and not self.retracted


def _log_meta(name: str) -> tuple[list[models.Index], list[models.BaseConstraint]]:
    """Indexes and constraints that both log tables share.

    Every index is paid for on each of 100,000 imported rows, so links have none of their own
    where one of these serves (the run) or nothing asks by them (who, which file).
    """
    indexes = [
        models.Index(fields=["run", "at"], name=f"{name}_by_time"),
        models.Index(fields=["run", "kind", "at"], name=f"{name}_by_kind"),
        models.Index(fields=["run", "fingerprint"], name=f"{name}_by_content"),
    ]
    first = models.Q(version=1, supersedes__isnull=True, first_id=models.F("id"))
    later = models.Q(version__gt=1, supersedes__isnull=False) & ~models.Q(reason="")
    constraints: list[models.BaseConstraint] = [
        models.CheckConstraint(name=f"{name}_versions_in_order", condition=first | later),
        models.UniqueConstraint(fields=["first_id", "version"], name=f"{name}_one_per_version"),
    ]
    return indexes, constraints


class Event(LogRecord):
    """Something done to a run: a charge, a feed, a dose, the holder emptied ..."""

    run = models.ForeignKey(Run, on_delete=models.PROTECT, related_name="events", db_index=False)
    entered_by = models.ForeignKey(
        Person,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="events",
        db_index=False,
    )
    batch = models.ForeignKey(
        ImportBatch,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="events",
        db_index=False,
    )
    # One-to-one: a version has at most one successor, so a history is a chain, not a tree.
    supersedes = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="superseded_by"
    )

    class Meta(LogRecord.Meta):
        indexes, constraints = _log_meta("event")


class Reading(LogRecord):
    """Something observed on a run: a level, a temperature, a pH, a flame ..."""

    run = models.ForeignKey(Run, on_delete=models.PROTECT, related_name="readings", db_index=False)
    entered_by = models.ForeignKey(
        Person,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="readings",
        db_index=False,
    )
    batch = models.ForeignKey(
        ImportBatch,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="readings",
        db_index=False,
    )
    supersedes = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="superseded_by"
    )

    class Meta(LogRecord.Meta):
        indexes, constraints = _log_meta("reading")
