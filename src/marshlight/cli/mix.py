"""Commands that plan a charge and start a run from it."""

from typing import Annotated, Any

import typer
from rich.console import Console

from marshlight.cli.main import app
from marshlight.cli.opening import open_notebook, the_keeper, units_shown
from marshlight.cli.output import AsJson, emit
from marshlight.cli.set_up import pairs
from marshlight.errors import require


@app.command("mix")
def mix_charge(
    vessel: Annotated[str, typer.Argument(help='A vessel\'s name, or a volume such as "25 L".')],
    lot: Annotated[
        list[str],
        typer.Option(help='At hand, once a material: --lot "goat manure=20 kg", or --lot Manure.'),
    ],
    exactly: Annotated[
        list[str] | None, typer.Option(help='Fixed amounts: --exactly "stale bread=200 g".')
    ] = None,
    aim: Annotated[str, typer.Option(help="most_gas, most_waste or surest_start.")] = "most_gas",
    slurry: Annotated[str, typer.Option(help="Temperature it will be kept at.")] = "38 degC",
    water: Annotated[str, typer.Option(help="Exactly this much water.")] = "",
    limit: Annotated[
        list[str] | None, typer.Option(help='Your own limits: --limit "solids=..8 %".')
    ] = None,
    bucket: Annotated[str, typer.Option(help="The bucket for measuring out.")] = "10 L",
    holder: Annotated[str, typer.Option(help="Volume of the gas holder.")] = "",
    start: Annotated[
        str, typer.Option(help="Keep the mix as the charge of a new run of this name.")
    ] = "",
    as_json: AsJson = False,
) -> None:
    """Plan a charge from what is at hand and print its run card."""
    open_notebook()
    from django.utils import timezone

    from marshlight.answers.mix import MixAsk, mix

    ask = MixAsk(
        vessel=vessel,
        lots=_lots(lot, exactly),
        slurry=slurry,
        aim=aim,
        water=water,
        limits={key: _ends(text) for key, text in pairs(limit).items()},
        bucket=bucket,
        holder=holder,
        title=start or vessel,
    )
    answer = mix(ask, today=timezone.localdate(), system=units_shown())
    if start:
        from marshlight.answers.mix_start import start_from_mix

        run = start_from_mix(answer, name=start, vessel=vessel, by=the_keeper())
        emit({"run": run.name, "run_id": run.pk, "mix": answer}, as_json, _started)
        return
    emit(answer, as_json, _card)


def _lots(lots: list[str], exactly: list[str] | None) -> tuple[Any, ...]:
    from marshlight.answers.mix import MixLot

    fixed = pairs(exactly)
    named: dict[str, str] = {}
    for word in lots:
        name, _, amount = word.partition("=")
        named[name.strip()] = amount
    unknown = set(fixed) - set(named)
    require(
        not unknown,
        field="--exactly",
        value=", ".join(sorted(unknown)),
        allowed=", ".join(named),
        remedy="Name the material with --lot as well",
    )
    return tuple(MixLot(name, amount, fixed.get(name, "")) for name, amount in named.items())


def _ends(text: str) -> tuple[str, str]:
    """Read "3..8 %" as both ends, "..8 %" as the high end, "3 %.." as the low one."""
    low, dots, high = text.partition("..")
    require(
        bool(dots),
        field="--limit",
        value=text,
        allowed="LOW..HIGH, LOW.. or ..HIGH",
        remedy='Write for example --limit "solids=..8 %"',
    )
    return low, high


def _card(answer: Any, out: Console) -> None:
    from marshlight.decide.plan import run_card_text

    out.print(run_card_text(answer.card), end="", soft_wrap=True, markup=False)
    for line in answer.ageing:
        out.print(line)


def _started(answer: dict[str, Any], out: Console) -> None:
    _card(answer["mix"], out)
    out.print(
        f"Kept as the charge of {answer['run']}; log it with: marshlight log {answer['run']!r}"
    )
