"""A trial's report as a PDF."""

import json
from dataclasses import asdict
from importlib.resources import files
from typing import Any

from marshlight.answers.trial_report import TrialReport
from marshlight.errors import NotebookError
from marshlight.reports.pictures import curves, intervals


def trial_pdf(report: TrialReport) -> bytes:
    """Set a trial's report.

    Parameters
    ----------
    report : TrialReport
        The report.

    Returns
    -------
    bytes
        A PDF.

    Raises
    ------
    NotebookError
        If the typesetting library is not installed.
    """
    try:
        import typst
    except ImportError as error:
        raise NotebookError(
            "The PDF needs the typst library: install marshlight with its 'reports' extra. The "
            "spreadsheet needs nothing more."
        ) from error
    template = (files("marshlight.reports") / "trial.typ").read_bytes()
    data = json.dumps(_data(report), ensure_ascii=False)
    made: bytes = typst.compile(template, format="pdf", sys_inputs={"data": data})
    return made


def _data(report: TrialReport) -> dict[str, Any]:
    page, result = report.page, report.assessed.result
    assert result is not None
    assert page.axis is not None
    words = {True: "met", False: "not met", None: "not known"}
    tables = (page.potentials, page.contrasts, *page.buckets, page.other_way)
    return {
        "name": page.name,
        "site": report.site,
        "version": report.version,
        "invented": report.invented,
        "sentence": page.sentence,
        "standing": page.standing,
        "accepted": page.accepted,
        "what": page.what,
        "picture": intervals(page.axis),
        "picture_words": page.axis.words,
        "curves": curves(result),
        "curves_words": page.chart.first.sentence if page.chart else "",
        "figures": [asdict(t) for t in tables if t is not None and t.rows],
        "mixtures": list(page.mixtures),
        "flags": [asdict(f) for f in page.flags],
        "without": asdict(page.without) if page.without else None,
        "without_sentence": page.without_sentence,
        "criteria": [
            {
                "words": c.words,
                "found": c.found,
                "wanted": c.wanted,
                "met": words[c.met],
                "required": "required" if c.required else "advice",
                "meaning": c.meaning,
            }
            for c in page.criteria
        ],
        "bottles": asdict(page.bottles),
        "kinetics": [asdict(t) for t in page.kinetics],
        "method": list(report.method),
        "notes": list(page.notes),
        "sources": [f"{s.citation} ({s.how_in_words})" for s in page.sources],
    }
