"""Accounts and the people behind them."""

from typing import Any

from django.contrib.auth import get_user_model
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from marshlight.errors import InputError
from marshlight.notebook.models import Person

ROLES = tuple(Person.Role.values)


def sole_keeper() -> Person | None:
    """Give the person who writes when nobody logs in: the first who may write.

    Returns
    -------
    Person or None
        None while the notebook holds nobody; what is written then names no one.
    """
    writers = Person.objects.in_use().exclude(role=Person.Role.READER)
    leads = writers.filter(role=Person.Role.LEAD).first()
    return leads or writers.first()


def person_of(user: Any) -> Person | None:
    """Give the person behind an account."""
    return Person.objects.filter(user=user).first()


def has_accounts() -> bool:
    """Say whether anyone could log in."""
    return get_user_model().objects.filter(is_active=True, person__isnull=False).exists()


def add_account(name: str, password: str, *, role: str = "lead") -> Person:
    """Make a log-in and the person behind it.

    Parameters
    ----------
    name : str
        Log-in name, unique; a role will do where no name is wanted.
    password : str
        At least 10 characters, not a common one, not only digits.
    role : str
        "lead", "keeper" or "reader".

    Returns
    -------
    Person
        The new person, linked to the account.

    Raises
    ------
    InputError
        When the name is taken, the role unknown or the password too weak.
    """
    name = name.strip()
    if role not in ROLES:
        raise InputError("role", role, ", ".join(ROLES), "Choose one of these roles")
    users = get_user_model()
    if not name or users.objects.filter(username__iexact=name).exists():
        raise InputError("name", name, "a name nobody has yet", "Choose another name")
    user = users(username=name)
    try:
        validate_password(password, user)
    except ValidationError as error:
        raise InputError(
            "password",
            "(not shown)",
            "10 characters or more, not common, not only digits",
            " ".join(error.messages).rstrip("."),
        ) from error
    with transaction.atomic():
        user.set_password(password)
        user.save()
        person = Person(name=name, role=role, user=user)
        person.save(why="account made")
    return person
