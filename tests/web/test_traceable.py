"""Every figure on the pages of heat, gas and safety leads to its equation and its source."""

from collections.abc import Callable

import pytest
from django.test import Client
from django.utils import timezone

from marshlight.answers.cleaning import cleaning
from marshlight.answers.flame import flame
from marshlight.answers.gas_space import gas_space
from marshlight.answers.gas_train import gas_train
from marshlight.answers.heat import heat
from marshlight.answers.hygiene import hygiene
from marshlight.answers.leak import leak
from marshlight.answers.safety_sheet import safety_sheet_page
from marshlight.answers.told import Answer
from marshlight.notebook.models import Run

pytestmark = pytest.mark.django_db

Told = Callable[[Run | None], Answer]
YEAR = "2 3 6 9 13 16 18 18 15 11 6 3"
FALLING = "0 200; 6 150; 24 40"
ANSWERS: dict[str, Told] = {
    "heat": lambda run: (
        heat(
            {"price": "0.3", "feed": "1 kg", "months": YEAR, "set_point": "37"},
            run=run,
            now=timezone.now(),
        ).told
    ),
    "flame": lambda run: flame({}, run=run),
    "gas space": lambda run: gas_space({}, run=run).answer,
    "gas train": lambda run: gas_train({"relief": "seal", "uses": "7 12"}, run=run),
    "leak": lambda run: leak({"readings": FALLING, "space": "8 L", "working": "50"}, run=run),
    "cleaning": lambda run: cleaning({"air": "4 %"}, run=run),
    "hygiene, hot": lambda run: hygiene({"temperature": "70", "hold": "1 h"}, run=run),
    "hygiene, warm": lambda run: hygiene({}, run=run),
    "safety sheet": lambda run: safety_sheet_page({}, run=run).answer,
}


@pytest.mark.parametrize("page", ANSWERS)
@pytest.mark.parametrize("of_a_run", [True, False], ids=["a run's", "one's own"])
def test_every_figure_has_equation_and_source(
    here: Client, run: Run, page: str, of_a_run: bool
) -> None:
    answer = ANSWERS[page](run if of_a_run else None)
    figures = [figure for section in answer.sections for figure in section.figures]
    assert len(figures) > 2
    for figure in figures:
        assert figure.equation, figure.name
        assert figure.sources, figure.name
    # One click away: each source has its page.
    for source in answer.sources:
        assert here.get(f"/sources/{source.key}/").status_code == 200, source.key
