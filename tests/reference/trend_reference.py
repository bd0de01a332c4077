"""Makes trend_reference.json: seeded series with their Theil-Sen line and Kendall's tau, by SciPy.

Needs Python 3 with SciPy 1.17.1 (and the NumPy it brings). Not run by the tests.

    python3 tests/reference/trend_reference.py > tests/reference/trend_reference.json

Where SciPy's conventions differ from ours, the file holds SciPy's and the test bridges:
- scipy.stats.theilslopes reads its bounds at the nearest whole rank (half to even), and its
  variance leaves out the two terms for ties in both directions at once;
- scipy.stats.kendalltau corrects the variance for ties in both directions, and makes no continuity
  correction, so the file holds |S| / sqrt(variance) recovered from its p;
- its exact p counts both tails of all orders, which is ours.
"""

import json
import math

import numpy as np
from scipy import __version__, stats

assert __version__ == "1.17.1", __version__


def series(rng, kind, n):
    x = np.sort(rng.uniform(0, 500, n)).round(1)
    y = 4.0 + rng.normal(0, 0.3, n)
    if kind == "trend":
        y = y - 0.004 * x
    if kind == "ties-in-value":
        y = (y * 4).round() / 4
    if kind == "ties-in-time":
        x = (x / 40).round() * 40
    if kind == "ties-in-both":
        x, y = (x / 40).round() * 40, (y * 4).round() / 4
    if kind == "outliers":
        y = y - 0.002 * x
        y[rng.integers(0, n, max(1, n // 10))] += 30
    if kind == "shuffled":
        order = rng.permutation(n)
        x, y = x[order], y[order]
    return x, np.asarray(y).round(4)


def case(rng, kind, n):
    x, y = series(rng, kind, n)
    line = stats.theilslopes(y, x, alpha=0.9, method="separate")
    tau = stats.kendalltau(x, y, method="asymptotic")
    ties = len(set(x)) < n or len(set(y)) < n
    exact = None if ties else stats.kendalltau(x, y, method="exact").pvalue
    score = stats.norm.isf(tau.pvalue / 2) if tau.pvalue < 1 else 0.0
    return {
        "kind": kind,
        "x": x.tolist(),
        "y": y.tolist(),
        "slope": float(line.slope),
        "intercept": float(line.intercept),
        "low": float(line.low_slope),
        "high": float(line.high_slope),
        "tau": float(tau.statistic),
        "score": float(score),
        "exact_p": None if exact is None else float(exact),
    }


def main():
    rng = np.random.default_rng(20261125)
    kinds = ["none", "trend", "ties-in-value", "ties-in-time", "ties-in-both", "outliers", "shuffled"]
    sizes = [5, 6, 8, 10, 11, 17, 40, 90, 150, 200]
    cases = [case(rng, kind, n) for kind in kinds for n in sizes]
    assert all(math.isfinite(c["slope"]) and math.isfinite(c["tau"]) for c in cases)
    rows = ",\n".join(json.dumps(c, separators=(",", ":")) for c in cases)
    print(f'{{"made_with":"scipy {__version__}","cases":[\n{rows}\n]}}')


main()
