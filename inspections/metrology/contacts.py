"""How firmly the contacts of a minimum hold it: the size of any step that cannot give a smaller value."""

import numpy as np

from inspections.metrology.numbers import FloatArray

_TINY = 1e-9


def least_pull(pulls: FloatArray) -> float:
    """The least over all directions f of the greatest pull . f.

    Parameters
    ----------
    pulls : ndarray, shape (d, k), d = 1 or 2
        One column per pair of contacts.

    Returns
    -------
    float
        Distance from the origin to the rim of the polygon the pulls span; 0 if the origin is not inside.

    Examples
    --------
    >>> round(least_pull(np.array([[1.0, -1.0, 0.0, 0.0], [0.0, 0.0, 1.0, -1.0]])), 6)
    0.707107
    >>> least_pull(np.array([[1.0, 3.0]]))
    0.0
    """
    if len(pulls) == 1:
        return max(0.0, min(float(pulls.max()), -float(pulls.min())))
    size = float(np.abs(pulls).max())
    edges = pulls[:, None, :] - pulls[:, :, None]
    lengths = np.hypot(edges[0], edges[1])
    distinct = lengths > 1e-6 * size
    outward = np.stack((edges[1][distinct], -edges[0][distinct])) / lengths[distinct]
    starts = np.repeat(pulls[:, :, None], pulls.shape[1], axis=2)[:, distinct]
    reach = (outward * starts).sum(axis=0)
    supporting = (outward.T @ pulls <= reach[:, None] + _TINY * size).all(axis=1)
    if not supporting.any():
        return 0.0
    return max(0.0, float(reach[supporting].min()) - _TINY * size)
