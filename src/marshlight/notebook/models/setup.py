"""Set-up records: they may change, and every state they were in is kept with who and why."""

import uuid
from typing import Any

from django.db import models, transaction
from django.utils import timezone

from marshlight.errors import NotebookError

from ..keepable import keepable
from ..plain import to_plain


class SetupQuerySet(models.QuerySet):
    """Refuses the short cuts that would change a set-up record without keeping its history."""

    def update(self, **changes: Any) -> int:
        """Refuse: only ``save`` keeps the history."""
        raise NotebookError(
            "A set-up record is changed one at a time with save(by=..., why=...), "
            "so that its history is kept."
        )

    def delete(self) -> tuple[int, dict[str, int]]:
        """Refuse: set `retired` instead."""
        raise NotebookError("Nothing is deleted from the notebook; mark the record as retired.")

    def bulk_create(self, *args: Any, **kwargs: Any) -> list[Any]:
        """Refuse: only ``save`` keeps the history."""
        raise NotebookError("Set-up records are made one at a time, so that history is kept.")

    def bulk_update(self, *args: Any, **kwargs: Any) -> int:
        """Refuse: only ``save`` keeps the history."""
        raise NotebookError("Set-up records are changed one at a time, so that history is kept.")

    def in_use(self) -> "SetupQuerySet":
        """Records that are not retired."""
        return self.filter(retired=False)


class Setup(models.Model):
    """Base of everything that is set up rather than observed."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=120)
    notes = models.TextField(blank=True)
    retired = models.BooleanField(default=False, help_text="No longer used; kept for the record.")

    objects = SetupQuerySet.as_manager()

    class Meta:
        abstract = True
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def save(self, *args: Any, by: Any = None, why: str = "", **kwargs: Any) -> None:
        """Save, and keep the new state as a version with who and why."""
        for field in self._meta.concrete_fields:
            if isinstance(field, (models.CharField, models.TextField)):
                setattr(self, field.attname, keepable(getattr(self, field.attname) or ""))
        with transaction.atomic():
            super().save(*args, **kwargs)
            # Read back: the version must hold what the database holds (dates given as text,
            # say), and a partial save (update_fields) must not record unsaved attributes.
            kept = to_plain(type(self)._base_manager.get(pk=self.pk))
            latest = self.history().last()
            if latest is None or latest.state != kept:
                SetupVersion.objects.create(
                    record=self._meta.model_name,
                    record_id=self.pk,
                    version=1 if latest is None else latest.version + 1,
                    state=kept,
                    by=by,
                    why=keepable(why),
                )
                if latest is not None:
                    # Only now: it knows what a run is, which is itself set up.
                    from ..resting import outdate_by

                    outdate_by(self, latest.state, kept)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Refuse: set `retired` instead."""
        raise NotebookError("Nothing is deleted from the notebook; mark the record as retired.")

    def history(self) -> "models.QuerySet[SetupVersion]":
        """Every state this record was in, oldest first."""
        return SetupVersion.objects.filter(
            record=self._meta.model_name, record_id=self.pk
        ).order_by("version")


class FixedQuerySet(models.QuerySet):
    """Rows that are written once."""

    def update(self, **changes: Any) -> int:
        """Refuse: the row is fixed."""
        raise NotebookError("This record is kept as it was written; add a correction instead.")

    def delete(self) -> tuple[int, dict[str, int]]:
        """Refuse: the row is fixed."""
        raise NotebookError("Nothing is deleted from the notebook; retract the record instead.")

    def bulk_update(self, *args: Any, **kwargs: Any) -> int:
        """Refuse: the row is fixed."""
        raise NotebookError("This record is kept as it was written; add a correction instead.")


class Fixed(models.Model):
    """Base of rows that are written once and never change (the database refuses as well)."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)

    objects = FixedQuerySet.as_manager()

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Save a new row; refuse to change one that is already kept."""
        if not self._state.adding:
            raise NotebookError("This record is kept as it was written; add a correction instead.")
        # force_insert: with a client-made id Django would otherwise try UPDATE first.
        kwargs["force_insert"] = True
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Refuse: nothing is deleted."""
        raise NotebookError("Nothing is deleted from the notebook; retract the record instead.")


class SetupVersion(Fixed):
    """One state of a set-up record, with who left it so and why."""

    record = models.CharField(max_length=40)
    record_id = models.UUIDField()
    version = models.PositiveIntegerField()
    state = models.JSONField()
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(
        "notebook.Person", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    why = models.CharField(max_length=400, blank=True)

    class Meta:
        ordering = ["record", "record_id", "version"]
        constraints = [
            models.UniqueConstraint(
                fields=["record", "record_id", "version"], name="one_row_per_setup_version"
            )
        ]

    def __str__(self) -> str:
        return f"{self.record} {self.record_id}, version {self.version}"
