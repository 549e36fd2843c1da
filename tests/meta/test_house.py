"""The house rules that a machine can see: sizes, leftovers, and words that must not appear."""

import ast
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "marshlight"
MODULES = sorted(
    path for path in PACKAGE.rglob("*.py") if "migrations" not in path.relative_to(PACKAGE).parts
)
LONGEST_FILE = 400
LONGEST_FUNCTION = 50


def _tracked() -> list[Path]:
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    names = [name for name in listed.stdout.split("\0") if name]
    if not names:  # an unpacked source archive has no git
        return [p for p in ROOT.rglob("*") if p.is_file() and ".venv" not in p.parts]
    return [ROOT / name for name in names if (ROOT / name).is_file()]


def _functions(tree: ast.AST) -> list[ast.FunctionDef | ast.AsyncFunctionDef]:
    return [n for n in ast.walk(tree) if isinstance(n, (ast.FunctionDef, ast.AsyncFunctionDef))]


def _code_lines(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Count a function's lines without its signature and docstring."""
    body = node.body[1:] if ast.get_docstring(node) else node.body
    return (node.end_lineno or 0) - body[0].lineno + 1 if body else 0


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_a_file_can_be_read_in_one_sitting(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= LONGEST_FILE
    long = {f.name: _code_lines(f) for f in _functions(ast.parse(text))}
    assert {name: n for name, n in long.items() if n > LONGEST_FUNCTION} == {}


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_public_names_say_what_they_are(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    public = [
        node
        for node in tree.body
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_")
    ]
    assert ast.get_docstring(tree), "a module says in one line what it holds"
    assert [n.name for n in public if not ast.get_docstring(n)] == []


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_no_room_is_named_for_a_kind_instead_of_a_subject(path: Path) -> None:
    parts = set(path.relative_to(PACKAGE).with_suffix("").parts)
    assert not parts & {"utils", "util", "helpers", "helper", "misc", "common"}


def test_nothing_in_the_tree_names_a_machine_or_a_registry() -> None:
    forbidden = re.compile(
        r"(?<![\w.-])/(?:work|root|tmp|home/\w+)/"
        r"|\b(?:pypi|npmjs|pythonhosted)\.(?:org|com)\b|registry\.npm"
    )
    this = Path(__file__).name
    guilty = []
    for path in _tracked():
        if path.name == this or path.suffix in {".png", ".ico", ".xlsx", ".woff2"}:
            continue
        text = path.read_text(encoding="utf-8", errors="replace")
        guilty += [f"{path.relative_to(ROOT)}: {m.group()}" for m in forbidden.finditer(text)]
    assert guilty == []


def test_no_unfinished_work_is_left_in_the_code() -> None:
    words = ("TO" + "DO", "FIX" + "ME", "X" * 3, "HA" + "CK")
    marks = re.compile(rf"\b(?:{'|'.join(words)})\b|raise NotImplemented" + "Error")
    guilty = [
        str(path.relative_to(ROOT))
        for path in _tracked()
        if path.suffix == ".py" and marks.search(path.read_text(encoding="utf-8"))
    ]
    assert guilty == []
