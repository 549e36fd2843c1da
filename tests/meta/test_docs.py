"""The documents promise only what the program does: code runs, links lead somewhere."""

import os
import re
import shlex
import subprocess
import sys
from doctest import ELLIPSIS, NORMALIZE_WHITESPACE
from pathlib import Path

import pytest
from sybil import Sybil
from sybil.parsers.markdown import PythonCodeBlockParser

from marshlight.matter import PROPERTIES

ROOT = Path(__file__).parents[2]
PAGES = sorted([*ROOT.glob("*.md"), *ROOT.glob("docs/**/*.md"), *ROOT.glob("examples/**/*.md")])
WITH_CODE = [page for page in PAGES if "```python" in page.read_text(encoding="utf-8")]


def _name(page: Path) -> str:
    return str(page.relative_to(ROOT))


@pytest.mark.parametrize("page", WITH_CODE, ids=_name)
def test_the_code_of_a_page_runs_and_prints_what_the_page_says(
    page: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    parser = PythonCodeBlockParser(doctest_optionflags=ELLIPSIS | NORMALIZE_WHITESPACE)
    document = Sybil(parsers=[parser]).parse(page)
    examples = list(document.examples())
    assert examples, "a page with Python fences has examples"
    for example in examples:
        example.evaluate()


@pytest.mark.parametrize("page", PAGES, ids=_name)
def test_every_link_to_a_file_leads_to_one(page: Path) -> None:
    text = re.sub(r"```.*?```", "", page.read_text(encoding="utf-8"), flags=re.S)
    targets = [t.split("#")[0] for t in re.findall(r"\]\(([^)\s]+)\)", text)]
    local = [t for t in targets if t and "://" not in t and not t.startswith("mailto:")]
    assert [t for t in local if not (page.parent / t).exists()] == []


@pytest.mark.parametrize("page", PAGES, ids=_name)
def test_every_command_that_a_page_names_exists(page: Path) -> None:
    from typer.main import get_command

    from marshlight.cli import commands  # noqa: F401  (registers the commands)
    from marshlight.cli.main import app

    text = page.read_text(encoding="utf-8")
    lines = re.findall(r"^\s*(?:\$ )?marshlight (.+)$", text, re.M)
    lines += re.findall(r"`marshlight ([^`]+)`", text)
    for line in lines:
        command = get_command(app)
        for word in shlex.split(line.split("  #")[0]):
            subcommands = getattr(command, "commands", None)
            if word.startswith("-") or not subcommands:
                break
            assert word in subcommands, f"{_name(page)}: no command {line!r}"
            command = subcommands[word]


@pytest.mark.slow
def test_the_terminal_page_can_be_typed_from_top_to_bottom(tmp_path: Path) -> None:
    (tmp_path / "examples").symlink_to(ROOT / "examples")
    page = (ROOT / "docs" / "terminal.md").read_text(encoding="utf-8")
    lines = re.findall(r"^ {4}(marshlight .+)$", page, re.M)
    # An id is only known once something is kept; pages are served until they are stopped.
    typed = [x for x in map(shlex.split, lines) if "ID" not in x and x[1] not in {"demo", "serve"}]
    assert len(typed) > 15
    environment = os.environ | {"MARSHLIGHT_NOTEBOOK": str(tmp_path / "notebook.sqlite3")}
    for _, *words in typed:
        done = subprocess.run(
            [str(Path(sys.executable).with_name("marshlight")), *words],
            cwd=tmp_path,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.stdout.strip(), words
        assert done.returncode == 0, f"marshlight {shlex.join(words)}\n{done.stdout}{done.stderr}"


def test_make_targets_that_the_pages_name_exist() -> None:
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    targets = set(re.findall(r"^([a-z-]+):", makefile, re.M))
    for page in PAGES:
        text = page.read_text(encoding="utf-8")
        named = set(re.findall(r"(?:^ {4}|`)make ([a-z-]+)", text, re.M))
        assert named <= targets, f"{_name(page)} names {named - targets}"


def test_the_glossary_explains_every_property_of_a_feedstock() -> None:
    glossary = (ROOT / "docs" / "glossary.md").read_text(encoding="utf-8").replace("_", " ")
    explained = {name: name.replace("_", " ").replace("C to N", "C:N") for name in PROPERTIES}
    assert [name for name, shown in explained.items() if shown not in glossary] == []
