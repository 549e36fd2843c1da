"""Whitening with a covariance that only couples neighbours, in time linear in its size."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


class NeighbourCovariance:
    """A positive covariance with a diagonal and one band beside it.

    Parameters
    ----------
    diagonal : ndarray
        Variances, shape n.
    beside : ndarray
        Covariance of each element with the next, shape n - 1.
    """

    def __init__(self, diagonal: Floats, beside: Floats) -> None:
        from scipy.linalg import cholesky_banded

        self.diagonal = diagonal
        self._band = np.zeros((2, diagonal.size))
        self._band[0], self._band[1, :-1] = diagonal, beside
        self._factor = (
            cholesky_banded(self._band, lower=True, check_finite=False)
            if diagonal.size
            else self._band
        )

    @property
    def log_determinant(self) -> float:
        """Logarithm of the determinant."""
        return 2.0 * float(np.sum(np.log(self._factor[0])))

    def whiten(self, columns: Floats) -> Floats:
        """L^-1 x for a vector (n) or columns (n x m)."""
        from scipy.linalg import solve_banded

        if not self.diagonal.size or not columns.size:
            return columns
        return np.asarray(solve_banded((1, 0), self._factor, columns, check_finite=False))

    def solve(self, columns: Floats) -> Floats:
        """C^-1 x for a vector (n) or columns (n x m)."""
        from scipy.linalg import cho_solve_banded

        if not self.diagonal.size or not columns.size:
            return columns
        return np.asarray(cho_solve_banded((self._factor, True), columns, check_finite=False))
