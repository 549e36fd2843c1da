"""Commands that start the pages, make log-ins and load the demonstration."""

from typing import Annotated

import typer
from rich.console import Console
from rich.progress import Progress

from marshlight.cli.main import app
from marshlight.cli.opening import open_notebook
from marshlight.cli.output import AsJson, console, emit

HOST = Annotated[
    str, typer.Option(help="Address to listen on; off this machine, log-in is required.")
]
PORT = Annotated[int, typer.Option(help="Port; a busy one is left and the next free one taken.")]


@app.command("serve")
def serve_pages(host: HOST = "127.0.0.1", port: PORT = 8640) -> None:
    """Serve the pages until Ctrl-C."""
    open_notebook()
    from marshlight.server.serve import serve

    serve(host, port)


@app.command("account")
def make_account(
    name: Annotated[str, typer.Argument(help="Log-in name; a role will do.")],
    role: Annotated[str, typer.Option(help="lead, keeper, reader or group.")] = "lead",
    as_json: AsJson = False,
) -> None:
    """Make a log-in, for notebooks that others on the network can reach."""
    open_notebook()
    from marshlight.server.accounts import add_account

    password = typer.prompt("Password", hide_input=True, confirmation_prompt=True)
    person = add_account(name, password, role=role)
    answer = {"name": person.name, "role": person.role}
    emit(answer, as_json, lambda a, out: out.print(f"{a['name']} can log in as {a['role']}."))


@app.command("demo")
def run_demo(
    host: HOST = "127.0.0.1",
    port: PORT = 8640,
    pages: Annotated[bool, typer.Option(help="Serve the pages after loading.")] = True,
) -> None:
    """Load the invented demonstration world, if it is not there yet, and serve its pages."""
    open_notebook()
    from marshlight.demo import demo_is_loaded, load_demo

    out = console()
    if not demo_is_loaded():
        _load(out, load_demo)
    out.print("Demonstration data: invented, never to be taken for measurements.")
    if pages:
        from marshlight.server.serve import serve

        serve(host, port)


def _load(out: Console, load_demo: object) -> None:
    with Progress(console=out, transient=True) as bar:
        task = bar.add_task("Making the demonstration world", total=None)

        def tell(done: int, of: int, what: str) -> None:
            bar.update(task, completed=done, total=of, description=f"Making up: {what}")

        load_demo(progress=tell)  # type: ignore[operator]
