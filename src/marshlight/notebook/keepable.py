"""Text that every database can keep."""


def keepable(text: str) -> str:
    """Leave out of a text what no database keeps: NUL, and halves of split characters.

    Parameters
    ----------
    text
        As it came.

    Returns
    -------
    str
        The same for anything a person can type.
    """
    return text.replace("\x00", "").encode("utf-8", "replace").decode("utf-8")
