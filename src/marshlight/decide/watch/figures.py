"""Figures in sentences."""


def figure(value: float) -> str:
    """Write two significant digits, never in exponent form.

    Parameters
    ----------
    value : float
        Any number [1].

    Returns
    -------
    str
        The number as a person would write it.

    Examples
    --------
    >>> figure(123.4), figure(2.04), figure(0.0312)
    ('120', '2', '0.031')
    """
    return f"{float(f'{value:.2g}'):g}"
