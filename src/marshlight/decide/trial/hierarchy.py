"""Parameters of several bottles seen as draws from one material: a two-level model."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import minimize

from marshlight.errors import FitError, require

Floats = NDArray[np.float64]
# Spread between bottles, relative to the largest sd, below which a component counts as none.
_LEAST = 1e-4


@dataclass(frozen=True)
class Hierarchy:
    """A material's mean parameters (k) with covariance, the spread between bottles, each bottle.

    ``between`` is the covariance between bottles (k, k); ``each`` are the bottles' parameters
    drawn toward the mean (m, k) with covariances ``each_covariance`` (m, k, k).
    """

    mean: Floats
    covariance: Floats
    between: Floats
    each: Floats
    each_covariance: Floats
    deviance: float

    @property
    def df(self) -> float:
        """Degrees of freedom for intervals of the mean: bottles less one."""
        return float(len(self.each) - 1)


def pool_bottles(values: ArrayLike, covariances: ArrayLike) -> Hierarchy:
    """Pool the parameters of several bottles of one material.

    Parameters
    ----------
    values : array_like
        Parameters of each bottle on scales where a normal curve serves (logarithms of positive
        ones), shape m x k, m at least 2.
    covariances : array_like
        Covariance of each bottle's own parameters, shape m x k x k.

    Returns
    -------
    Hierarchy
        Mean, spread between bottles, and each bottle drawn toward the mean.

    Raises
    ------
    InputError
        If there are fewer than two bottles or the shapes don't fit.
    FitError
        If a covariance is not positive definite or nothing could be maximised.

    Notes
    -----
    ``theta_i ~ N(mu, Omega)``, and each bottle's readings say ``N(theta_i, S_i)``: a bottle's
    likelihood taken as normal about its own best fit, which holds with some ten readings and
    more.  Omega maximises the restricted likelihood (REML), mu follows by generalised least
    squares, bottles are empirical Bayes means.  With fewer than k + 2 bottles correlations
    between parameters cannot be told, and Omega is kept diagonal (our choice).

    References
    ----------
    patterson_thompson_1971, dersimonian_laird_1986

    Examples
    --------
    >>> import numpy as np
    >>> found = pool_bottles([[1.0], [1.2], [1.4]], np.full((3, 1, 1), 1e-6))
    >>> round(float(found.mean[0]), 3), round(float(found.between[0, 0]), 3)
    (1.2, 0.04)
    """
    y = np.atleast_2d(np.asarray(values, dtype=np.float64))
    s = np.asarray(covariances, dtype=np.float64)
    m, k = y.shape
    require(
        m >= 2 and s.shape == (m, k, k),
        field="bottles",
        value=m,
        allowed="two or more, with a covariance each",
        remedy="Fit two bottles of the material or more",
    )
    if not np.all(np.isfinite(s)) or np.any(np.linalg.eigvalsh(s) <= 0.0):
        raise FitError("A bottle's parameters have no usable covariance.")
    # In units of the largest spread of each parameter, so that one step suits all.
    scale = np.sqrt(np.var(y, axis=0, ddof=1) + np.mean(np.diagonal(s, axis1=1, axis2=2), axis=0))
    units = np.outer(scale, scale)
    full = m >= k + 2
    omega, deviance = _between(y / scale, s / units, full=full)
    mean, covariance = _mean(y / scale, s / units, omega)
    each, spread = _bottles(y / scale, s / units, omega, mean=(mean, covariance))
    return Hierarchy(
        mean * scale,
        covariance * units,
        omega * units,
        each * scale,
        spread * units,
        deviance,
    )


def _between(y: Floats, s: Floats, *, full: bool) -> tuple[Floats, float]:
    k = y.shape[1]
    rows, columns = np.tril_indices(k)
    if not full:
        rows = columns = np.arange(k)
    diagonal = rows == columns

    def omega_of(p: Floats) -> Floats:
        root = np.zeros((k, k))
        root[rows, columns] = np.where(diagonal, np.exp(np.clip(p, -12.0, 6.0)), p)
        return np.asarray(root @ root.T)

    def deviance(p: Floats) -> float:
        return _restricted_deviance(y, s, omega_of(p))

    starts = [np.where(diagonal, start, 0.0) for start in (-0.3, -2.5)]
    found = [minimize(deviance, start, method="BFGS", options={"gtol": 1e-7}) for start in starts]
    # A spread of zero is a maximum at the edge, where the slope along its logarithm fades out.
    best = min(found, key=lambda f: float(f.fun))
    if not np.isfinite(best.fun):
        raise FitError("The spread between bottles could not be estimated.")
    omega = omega_of(best.x)
    omega[np.abs(omega) < _LEAST**2] = 0.0
    return omega, float(best.fun)


def _restricted_deviance(y: Floats, s: Floats, omega: Floats) -> float:
    whole = s + omega
    inverse = np.linalg.inv(whole)
    information = np.sum(inverse, axis=0)
    mean = np.linalg.solve(information, np.einsum("ijk,ik->j", inverse, y))
    gap = y - mean
    return float(
        np.sum(np.linalg.slogdet(whole)[1])
        + np.linalg.slogdet(information)[1]
        + np.einsum("ij,ijk,ik->", gap, inverse, gap)
    )


def _mean(y: Floats, s: Floats, omega: Floats) -> tuple[Floats, Floats]:
    inverse = np.linalg.inv(s + omega)
    covariance = np.linalg.inv(np.sum(inverse, axis=0))
    return covariance @ np.einsum("ijk,ik->j", inverse, y), covariance


def _bottles(
    y: Floats, s: Floats, omega: Floats, *, mean: tuple[Floats, Floats]
) -> tuple[Floats, Floats]:
    """Each bottle's mean given its own readings and its fellows, and its covariance."""
    middle, doubt = mean
    weight = omega @ np.linalg.inv(s + omega)
    each = middle + np.einsum("ijk,ik->ij", weight, y - middle)
    rest = np.eye(len(omega)) - weight
    own = rest @ omega
    own = own + rest @ doubt @ np.swapaxes(rest, 1, 2)
    return each, np.asarray((own + np.swapaxes(own, 1, 2)) / 2.0)
