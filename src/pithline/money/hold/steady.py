"""What waiting is worth where every month looks like the last: Lambert's equation."""

from __future__ import annotations

import math

__all__ = ["product_log", "steady_worth"]


def product_log(k: float) -> float:
    """Solve y + ln y = k for y: Lambert's W of exp(k), which may be too large for a float.

    >>> round(product_log(1.0), 12)  # W(e) is 1
    1.0
    """
    if k < -700:
        return math.exp(k)  # ln of it would be all there is to see
    y = k - math.log(k) if k > 1.5 else math.exp(k) / (1 + math.exp(k) * 0.5)
    for _ in range(60):
        # Newton on y + ln y - k, which is concave: it never crosses 0 from the right start.
        step = (y + math.log(y) - k) * y / (1 + y)
        y = y - step if step < y else y / 2
        if abs(step) <= 1e-15 * y:
            break
    return y


def steady_worth(k: float, held: float, fades: float) -> float:
    """Solve v + ln(held + fades v) = k for v, the worth of waiting in mean limits.

    Parameters
    ----------
    k : float
        ln of the rate of buyers, less what a sale costs.
    held : float
        Holding over the mean limit. [1/month]
    fades : float
        Interest and loss. [1/month]

    Notes
    -----
    v = W(exp(k + held/fades)/fades) - held/fades. Where interest is next to nothing that is a
    small difference of large numbers, so there Newton starts from the answer without interest.
    """
    if fades == 0:
        return k - math.log(held)
    if held < 1e6 * fades:
        return product_log(k - math.log(fades) + held / fades) - held / fades
    v = k - math.log(held)
    for _ in range(6):
        rest = held + fades * v
        v -= (v + math.log(rest) - k) / (1 + fades / rest)
    return v
