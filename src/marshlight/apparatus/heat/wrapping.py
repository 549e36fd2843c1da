"""How a vessel is usually built and wrapped, from the few words a person gives of it."""

from marshlight.apparatus.heat.body import Stand, Wrap
from marshlight.apparatus.heat.layers import layer_of

# Outside in moderate wind: convection and radiation together (source `iso_6946`).
WIND_W_M2K = 25.0
# Hard plastic: its resistance hardly matters beside the rest. Our choice.
_WALL_M, _BOARD_M = 0.003, 0.018


def usual_wrap(
    insulation: str, thickness_m: float, *, wrapped: str = "all", wind: bool = False
) -> Wrap:
    """Return the wall and insulation of a vessel as people describe it.

    Parameters
    ----------
    insulation : str
        Key of a material, or "none".
    thickness_m : float
        Its thickness, zero or more [m].
    wrapped : str
        "all", "sides_and_lid" or "sides".
    wind : bool
        Whether it stands outdoors in wind.

    Returns
    -------
    Wrap
        A wall of hard plastic 3 mm thick within.

    Raises
    ------
    InputError
        If the material is unknown or its thickness impossible.

    References
    ----------
    iso_6946 for the film in wind.

    Examples
    --------
    >>> wrap = usual_wrap("eps", 0.04, wrapped="sides")
    >>> len(wrap.side), len(wrap.lid), len(wrap.base)
    (1, 0, 0)
    """
    wall = (layer_of("hdpe", _WALL_M),)
    film = WIND_W_M2K if wind else None
    if insulation == "none" or thickness_m == 0.0:
        return Wrap(wall=wall, outer_film_w_m2k=film)
    layers = (layer_of(insulation, thickness_m),)
    return Wrap(
        wall=wall,
        side=layers,
        lid=layers if wrapped != "sides" else (),
        base=layers if wrapped == "all" else (),
        outer_film_w_m2k=film,
    )


def usual_stand(kind: str) -> Stand:
    """Return a stand by its key; a table has a board of wood 18 mm thick.

    Parameters
    ----------
    kind : str
        A key of ``STANDS``.

    Returns
    -------
    Stand
        For ``body_of``.

    Raises
    ------
    InputError
        If there is no such stand.

    Examples
    --------
    >>> usual_stand("table").board[0].thickness_m
    0.018
    """
    return Stand(kind, (layer_of("wood", _BOARD_M),) if kind == "table" else ())
