"""People from the terminal."""

from collections.abc import Callable
from typing import Any

from marshlight.errors import InputError


def test_a_person_is_added_listed_and_changed_with_a_reason(terminal: Callable[..., Any]) -> None:
    assert "Nobody yet" in terminal("people").text
    terminal("person", "Ada")
    terminal("person", "Ada", "--role", "reader", "--why", "moved away")
    listed = terminal("people", "--json").data["people"]
    assert listed == [{"name": "Ada", "role": "reader", "can_log_in": False, "here": True}]
    assert "no longer here" in terminal("person", "ada", "--left", "--why", "gone").text
    assert terminal("person", "ada", "--here", "--why", "back", "--json").data["people"][0]["here"]


def test_a_change_without_a_reason_or_to_no_role_is_refused(terminal: Callable[..., Any]) -> None:
    terminal("person", "Ada")
    assert isinstance(terminal("person", "Ada", "--role", "lead").error, InputError)
    assert isinstance(terminal("person", "Bo", "--role", "owner").error, InputError)
    assert [p["name"] for p in terminal("people", "--json").data["people"]] == ["Ada"]
