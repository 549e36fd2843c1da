"""Public engine functions document units, errors and sources as they really are."""

import ast
import inspect
import pkgutil
import re
import textwrap
from collections.abc import Callable, Iterator
from importlib import import_module

import pytest

ROOMS = ("units", "matter", "apparatus", "process", "measure", "decide")


def _public_functions() -> Iterator[Callable[..., object]]:
    seen: set[int] = set()
    for room in ROOMS:
        package = import_module(f"marshlight.{room}")
        fronts = [package] + [
            import_module(f"{package.__name__}.{sub.name}")
            for sub in pkgutil.iter_modules(package.__path__)
            if sub.ispkg
        ]
        for front in fronts:
            for name in getattr(front, "__all__", ()):
                thing = getattr(front, name)
                if inspect.isfunction(thing) and id(thing) not in seen:
                    seen.add(id(thing))
                    yield thing


FUNCTIONS = list(_public_functions())


def _id(function: Callable[..., object]) -> str:
    return f"{function.__module__.removeprefix('marshlight.')}.{function.__name__}"


@pytest.mark.parametrize("function", FUNCTIONS, ids=_id)
def test_a_public_function_has_types_and_a_docstring(function: Callable[..., object]) -> None:
    assert inspect.getdoc(function)
    signature = inspect.signature(function)
    assert signature.return_annotation is not inspect.Signature.empty
    assert all(p.annotation is not p.empty for p in signature.parameters.values())


@pytest.mark.parametrize("function", FUNCTIONS, ids=_id)
def test_at_most_four_arguments_are_positional(function: Callable[..., object]) -> None:
    kinds = (inspect.Parameter.POSITIONAL_ONLY, inspect.Parameter.POSITIONAL_OR_KEYWORD)
    positional = [p for p in inspect.signature(function).parameters.values() if p.kind in kinds]
    assert len(positional) <= 4


@pytest.mark.parametrize("function", FUNCTIONS, ids=_id)
def test_every_documented_parameter_exists_and_every_raise_is_documented(
    function: Callable[..., object],
) -> None:
    doc = inspect.getdoc(function) or ""
    section = re.search(r"^Parameters\n-+\n(.*?)(?:\n\n[A-Z]\w+\n-+|\Z)", doc, re.S | re.M)
    if section:
        documented = {
            name.strip().lstrip("*")
            for line in re.findall(r"^(\w[\w, *]*) :", section.group(1), re.M)
            for name in line.split(",")
        }
        assert documented <= set(inspect.signature(function).parameters)
    tree = ast.parse(textwrap.dedent(inspect.getsource(function)))
    raised = {
        node.exc.func.id
        for node in ast.walk(tree)
        if isinstance(node, ast.Raise)
        and isinstance(node.exc, ast.Call)
        and isinstance(node.exc.func, ast.Name)
        and node.exc.func.id.endswith("Error")
    }
    raised |= {
        "InputError"
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "require"
    }
    assert {name for name in raised if name not in doc} == set()
