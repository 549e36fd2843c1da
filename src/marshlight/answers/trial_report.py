"""Everything another laboratory needs to work a trial out again by hand."""

from dataclasses import dataclass

from marshlight import __version__
from marshlight.answers.trial import TrialPage, trial_page
from marshlight.answers.trial_result import Assessed, trial_result
from marshlight.errors import NotebookError
from marshlight.notebook.models import Reading, Trial
from marshlight.notebook.moments import site_zone

METHOD = (
    "Gas is reckoned dry at 0 °C and 101.325 kPa from each bottle's own readings, with the "
    "vapour, temperature and pressure of the gas when it was read.",
    "Methane by the gas as it was made (method 1 of Standard BMP Methods documents 201 to 203): an "
    "interval's gas times the mean of the methane shares at both ends; methane share is methane "
    "over methane and carbon dioxide, by straight lines between analyses. Where gas was not "
    "analysed, the notes say what stands in.",
    "Methane by content (method 2 of the same): gas that left times its methane share with air "
    "counted in, and the change of methane held in the gas space, which began without any. Gas let "
    "off after a reading has the make-up just read; gas that streams out has that read at the end "
    "of its interval. By weight, what is neither methane nor carbon dioxide counts as nitrogen.",
    "Between readings cumulative methane runs along straight lines. All bottles are compared "
    "at the last day that every bottle was read.",
    "The blanks' mean methane per gram of inoculum, times a bottle's inoculum, is taken off; "
    "the rest over the VS weighed in is the bottle's potential (B). The potential of a material "
    "is the mean of its bottles.",
    "VS weighed in is the fresh mass times TS times VS, the mean over the crucibles written down.",
    "Standard error of a mean: s1 from the bottles' scatter, s2 from the blanks, s3 from the VS "
    "content, added as squares. Degrees of freedom after Welch and Satterthwaite; the VS part is "
    "taken as known where it was not measured more than once. s4, from gas volume, make-up of the "
    "gas and the scale, acts on all bottles alike and stands apart.",
    "Differences: Welch's comparison with Sidak's adjustment for all pairs. The blanks' error is "
    "common to both and enters with the difference of their inoculum over VS; the error of the VS "
    "content is each material's own.",
    "By the bucket: methane per kg fresh times the bucket's fill at the lot's bulk density, whose "
    "doubt (5 % at least) is each material's own; the VS content cancels.",
    "Speed: all bottles of a material get one curve, the one with the least sum of AICc; its "
    "parameters are pooled over bottles by restricted maximum likelihood, each bottle weighted by "
    "its own error and the spread between bottles.",
    "A bottle's end: net methane of a day below 1 % of that day's net cumulative methane for "
    "three days in a row.",
    "Flagged bottles stay in the main result; the result without them stands beside it.",
)


@dataclass(frozen=True)
class RawReading:
    """One reading or event as it was written down."""

    bottle: str
    when: str
    what: str
    entered: str
    value: float | None
    unit: str
    note: str


@dataclass(frozen=True)
class TrialReport:
    """The page, the figures behind it, what was written down, and how it was worked out."""

    page: TrialPage
    assessed: Assessed
    raw: tuple[RawReading, ...]
    method: tuple[str, ...]
    version: str
    site: str
    invented: bool


def trial_report(trial: Trial) -> TrialReport:
    """Gather a trial's report.

    Parameters
    ----------
    trial : Trial
        The trial.

    Returns
    -------
    TrialReport
        Ready for paper and spreadsheet.

    Raises
    ------
    NotebookError
        If there is no result yet.
    """
    assessed = trial_result(trial)
    if assessed.result is None:
        raise NotebookError(f"There is nothing to report yet. {assessed.why_not}")
    return TrialReport(
        trial_page(trial),
        assessed,
        _raw(trial),
        METHOD,
        f"marshlight {__version__}",
        trial.site.name,
        trial.site.invented,
    )


def _raw(trial: Trial) -> tuple[RawReading, ...]:
    zone = site_zone(trial.site.time_zone)
    rows = (
        Reading.objects.current()
        .filter(run__trial_bottle__trial=trial, run__trial_bottle__retired=False)
        .order_by("run__trial_bottle__name", "at", "kind")
        .values_list("run__trial_bottle__name", "at", "kind", "entered", "value", "unit", "note")
    )
    return tuple(
        RawReading(
            name, at.astimezone(zone).strftime("%Y-%m-%d %H:%M"), kind, entered, value, unit, note
        )
        for name, at, kind, entered, value, unit, note in rows.iterator(chunk_size=2000)
    )
