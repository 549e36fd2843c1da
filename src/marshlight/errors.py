"""The errors a user can meet: one small family, each named for what happened."""


class MarshlightError(Exception):
    """Anything marshlight refuses or fails at, in words meant for the person at the vessel."""


class InputError(MarshlightError, ValueError):
    """A value that cannot be used as given.

    Parameters
    ----------
    field : str
        The field as the user knows it.
    value : object
        What was given.
    allowed : str
        What would be accepted, in words.
    remedy : str
        What to do about it, an imperative sentence without a full stop.
    """

    def __init__(self, field: str, value: object, allowed: str, remedy: str) -> None:
        self.field = field
        self.value = value
        self.allowed = allowed
        self.remedy = remedy
        super().__init__(f"{field}: {value!r} cannot be used; allowed: {allowed}. {remedy}.")


class InfeasibleError(MarshlightError):
    """No mix, design or plan meets every limit; ``conflicts`` names those that clash."""

    def __init__(self, message: str, *, conflicts: tuple[str, ...] = ()) -> None:
        self.conflicts = conflicts
        super().__init__(message)


class FitError(MarshlightError):
    """A fit or a solve that did not succeed; the message says why and what to do."""


class NotebookError(MarshlightError):
    """A record that cannot be kept, found or restored."""


def require(condition: bool, *, field: str, value: object, allowed: str, remedy: str) -> None:
    """Raise an InputError naming the field unless the condition holds.

    Raises
    ------
    InputError
        When ``condition`` is false.
    """
    if not condition:
        raise InputError(field, value, allowed, remedy)


class InputErrors(MarshlightError, ValueError):
    """More than one field of one form or record cannot be used; ``problems`` holds each."""

    def __init__(self, problems: tuple[InputError, ...]) -> None:
        self.problems = problems
        super().__init__("\n".join(str(problem) for problem in problems))


def raise_all(problems: list[InputError]) -> None:
    """Raise nothing, the one problem, or all of them together.

    Raises
    ------
    InputError
        When there is exactly one.
    InputErrors
        When there are more.
    """
    if len(problems) == 1:
        raise problems[0]
    if problems:
        raise InputErrors(tuple(problems))
