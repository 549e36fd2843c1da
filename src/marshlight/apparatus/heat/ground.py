"""Heat into the ground: slab, disc and buried sphere."""

import math

from marshlight.errors import require


def _above_zero(**sizes: float) -> None:
    for field, value in sizes.items():
        require(
            math.isfinite(value) and value > 0.0,
            field=field,
            value=value,
            allowed="above zero",
            remedy="Give it in metres or W/(m K)",
        )


def disc_conductance_w_k(diameter_m: float, ground_k_w_mk: float) -> float:
    """Return the conductance of a warm disc lying on deep ground.

    Parameters
    ----------
    diameter_m : float
        Diameter, above zero [m].
    ground_k_w_mk : float
        Conductivity of the ground, above zero [W/(m K)].

    Returns
    -------
    float
        ``2 D k`` [W/K].

    Raises
    ------
    InputError
        If a number is not above zero.

    Notes
    -----
    Steady state, disc at one temperature, ground's surface beside it at the ground's
    own temperature; a slab with insulation is ``slab_transmittance_w_m2k``.

    References
    ----------
    incropera_2007, table 4.1.

    Examples
    --------
    >>> round(disc_conductance_w_k(3.0, 1.5) * 28.0, 6)
    252.0
    """
    _above_zero(diameter_m=diameter_m, ground_k_w_mk=ground_k_w_mk)
    return 2.0 * diameter_m * ground_k_w_mk


def buried_sphere_conductance_w_k(diameter_m: float, depth_m: float, ground_k_w_mk: float) -> float:
    """Return the conductance of a buried sphere to the ground's surface.

    Parameters
    ----------
    diameter_m : float
        Diameter, above zero [m].
    depth_m : float
        Depth of its centre, more than half the diameter [m].
    ground_k_w_mk : float
        Conductivity of the ground, above zero [W/(m K)].

    Returns
    -------
    float
        ``2 pi D k / (1 - D/(4 z))`` [W/K].

    Raises
    ------
    InputError
        If the sphere would break the surface, or a number is not above zero.

    References
    ----------
    incropera_2007, table 4.1.

    Examples
    --------
    >>> round(buried_sphere_conductance_w_k(2.0, 2.0, 1.0), 3)
    16.755
    """
    _above_zero(diameter_m=diameter_m, depth_m=depth_m, ground_k_w_mk=ground_k_w_mk)
    require(
        depth_m > 0.5 * diameter_m,
        field="depth_m",
        value=depth_m,
        allowed=f"more than {0.5 * diameter_m:g} m",
        remedy="Give the depth of the centre",
    )
    return 2.0 * math.pi * diameter_m * ground_k_w_mk / (1.0 - diameter_m / (4.0 * depth_m))


def slab_transmittance_w_m2k(
    area_m2: float,
    perimeter_m: float,
    *,
    ground_k_w_mk: float,
    floor_m2kw: float,
    wall_m: float,
    inner_m2kw: float = 0.0,
    outer_m2kw: float = 0.04,
) -> float:
    """Return the heat transmission of a floor on the ground.

    Parameters
    ----------
    area_m2, perimeter_m : float
        Of the floor, above zero [m2, m].
    ground_k_w_mk : float
        Conductivity of the ground, above zero [W/(m K)].
    floor_m2kw : float
        Resistance of the floor's own layers, zero or more [m2 K/W].
    wall_m : float
        Thickness of the wall around it, zero or more [m].
    inner_m2kw, outer_m2kw : float
        Surface resistances; none inside, where liquid stands on the floor [m2 K/W].

    Returns
    -------
    float
        Steady-state transmission to the ground's yearly mean [W/(m2 K)].

    Raises
    ------
    InputError
        If a size is not above zero or a resistance negative.

    Notes
    -----
    ``B' = A/(P/2)``, ``d_t = w + k (Rsi + Rf + Rse)``; with ``d_t < B'``
    ``U = 2k/(pi B' + d_t) ln(pi B'/d_t + 1)``, else ``k/(0.457 B' + d_t)``. Meant for
    buildings; on a small bench the table matters more than the ground.

    References
    ----------
    iso_13370.

    Examples
    --------
    >>> round(slab_transmittance_w_m2k(7.0686, 9.4248, ground_k_w_mk=2.0, floor_m2kw=1.0,
    ...                                wall_m=0.2), 3)
    0.674
    """
    _above_zero(area_m2=area_m2, perimeter_m=perimeter_m, ground_k_w_mk=ground_k_w_mk)
    for field, value in (("floor_m2kw", floor_m2kw), ("wall_m", wall_m)):
        require(
            value >= 0.0,
            field=field,
            value=value,
            allowed="zero or more",
            remedy="Give zero if there is none",
        )
    across = area_m2 / (0.5 * perimeter_m)
    thickness = wall_m + ground_k_w_mk * (inner_m2kw + floor_m2kw + outer_m2kw)
    if thickness < across:
        reach = math.pi * across + thickness
        return 2.0 * ground_k_w_mk / reach * math.log(math.pi * across / thickness + 1.0)
    return ground_k_w_mk / (0.457 * across + thickness)
