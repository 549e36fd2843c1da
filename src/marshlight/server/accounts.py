"""Accounts and the people behind them."""

import secrets
from typing import Any

from django.contrib.auth import get_user_model
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from marshlight.errors import InputError
from marshlight.notebook.models import Person

ROLES = tuple(Person.Role.values)
# They never write on their own machine: a reader only looks, a group comes over the network.
NEVER_ALONE = (Person.Role.READER, Person.Role.GROUP)
# Easily told apart when read aloud or off a slip; twelve of them are 58 bits.
_LETTERS = "abcdefghjkmnpqrstuvwxyz2345679"


def sole_keeper() -> Person | None:
    """Give the person who writes when nobody logs in: the first who may write.

    Returns
    -------
    Person or None
        None while the notebook holds nobody; what is written then names no one.
    """
    writers = Person.objects.in_use().exclude(role__in=NEVER_ALONE)
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
        "lead", "keeper", "reader" or "group".

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
    _check_password(password, user)
    with transaction.atomic():
        user.set_password(password)
        user.save()
        person = Person(name=name, role=role, user=user)
        person.save(why="account made")
    return person


def give_password(person: Person, password: str) -> None:
    """Give a person a new password, and an account if there was none.

    Raises
    ------
    InputError
        When the password is too weak, or another account has the person's name.
    """
    users = get_user_model()
    user = person.user
    if user is None:
        if users.objects.filter(username__iexact=person.name).exists():
            raise InputError("name", person.name, "a name no account has", "Change the name first")
        user = users(username=person.name)
    _check_password(password, user)
    with transaction.atomic():
        user.set_password(password)
        user.is_active = not person.retired
        user.save()
        if person.user is None:
            person.user = user
            person.save(why="account made")


def new_group_password(team: str) -> str:
    """Give a group of a class a new password, and an account under its name if it had none.

    Parameters
    ----------
    team : str
        The group's name, as its bottles bear it.

    Returns
    -------
    str
        To be shown once: only its hash is kept.

    Raises
    ------
    InputError
        When somebody who is no group has that name.
    """
    password = "-".join("".join(secrets.choice(_LETTERS) for _ in range(4)) for _ in range(3))
    found = Person.objects.in_use().filter(name=team).first()
    if found is None:
        add_account(team, password, role=Person.Role.GROUP)
    elif found.role == Person.Role.GROUP:
        give_password(found, password)
    else:
        raise InputError("group", team, "a name that no person has", "Give the group another name")
    return password


def change_person(
    person: Person, *, role: str, retired: bool, by: Person | None, why: str
) -> Person:
    """Change what a person may do; one who left can no longer log in.

    Raises
    ------
    InputError
        When the role is unknown, no reason is given, or no lead who can log in would be left.
    """
    if role not in ROLES:
        raise InputError("role", role, ", ".join(ROLES), "Choose one of these roles")
    if not why.strip():
        raise InputError("why", why, "a few words", "Say why it changes; the history keeps it")
    if _is_last_lead(person) and (role != Person.Role.LEAD or retired):
        raise InputError(
            "role", role, "at least one lead who can log in", "Make somebody else a lead first"
        )
    person.role, person.retired = role, retired
    with transaction.atomic():
        person.save(by=by, why=why)
        if person.user is not None and person.user.is_active == retired:
            person.user.is_active = not retired
            person.user.save()
    return person


def _is_last_lead(person: Person) -> bool:
    leads = Person.objects.in_use().filter(role=Person.Role.LEAD, user__is_active=True)
    return list(leads.values_list("pk", flat=True)) == [person.pk]


def _check_password(password: str, user: Any) -> None:
    try:
        validate_password(password, user)
    except ValidationError as error:
        raise InputError(
            "password",
            "(not shown)",
            "10 characters or more, not common, not only digits",
            " ".join(error.messages).rstrip("."),
        ) from error
