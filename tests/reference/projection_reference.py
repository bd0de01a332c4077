"""Makes projection_reference.json: falling levels with their common slope, interval, crossing and
chance, by NumPy and SciPy.

Needs Python 3 with SciPy 1.17.1 (and the NumPy it brings). Not run by the tests.

    python3 tests/reference/projection_reference.py > tests/reference/projection_reference.json

Each case is solved as one linear model: a column for each filling and one for the hours, by
numpy.linalg.lstsq, with the covariance error² (X'X)^-1. The crossing interval is found by
scipy.optimize.brentq on the distance between line and limit in standard errors, not by a formula.
"""

import json

import numpy as np
from scipy import __version__, optimize, stats

assert __version__ == "1.17.1", __version__


def case(rng, fillings):
    error = float(rng.choice([5.0, 10.0]))
    per_hour = float(rng.uniform(-60, -20)) / (2.25 * max(fillings))
    rows, x = [], 0.0
    for filling, n in enumerate(fillings):
        height = rng.uniform(70, 100) - per_hour * x
        for _ in range(n):
            x += float(rng.uniform(0.5, 4.0))
            rows.append((filling, round(x, 1), round(float(height + per_hour * x + rng.normal(0, error)), 1)))
    model = np.zeros((len(rows), len(fillings) + 1))
    for row, (filling, x, _) in enumerate(rows):
        model[row, filling] = 1.0
        model[row, -1] = x
    found = np.linalg.lstsq(model, np.array([y for *_, y in rows]), rcond=None)[0]
    covariance = error**2 * np.linalg.inv(model.T @ model)
    half = stats.norm.ppf(0.95) * np.sqrt(covariance[-1, -1])
    now = rows[-1][1]

    def line(x):
        at = np.zeros(len(fillings) + 1)
        at[len(fillings) - 1], at[-1] = 1.0, x
        return float(at @ found), float(np.sqrt(at @ covariance @ at))

    def edge(x, sign):
        level, sd = line(x)
        return level + sign * stats.norm.ppf(0.95) * sd

    about = -found[len(fillings) - 1] / found[-1]
    if found[-1] >= 0 or about <= now:
        return None
    sure = edge(now, -1) > 0
    early = optimize.brentq(lambda x: edge(x, -1), now, about, xtol=1e-12) if sure else now
    far = edge(1e7, 1)
    late = optimize.brentq(lambda x: edge(x, 1), about, 1e7, xtol=1e-9) if far < 0 else None
    ahead = [0.0, 3.0, 10.0, 50.0]
    return {
        "dips": rows,
        "error": error,
        "slope": float(found[-1]),
        "low": float(found[-1] - half),
        "high": float(found[-1] + half),
        "not_before": max(0.0, early - now),
        "about": max(0.0, float(about) - now),
        "not_after": None if late is None else max(0.0, late - now),
        "chances": [[h, float(stats.norm.cdf(0.0, *line(now + h)))] for h in ahead],
    }


rng = np.random.default_rng(19)
shapes = [[3], [4], [5], [8], [14], [40], [2, 2], [3, 2], [5, 4], [4, 1], [3, 3, 5], [2, 2, 2, 2]]
cases = [case(rng, shape) for shape in shapes for _ in range(4)]
cases = [json.dumps(c) for c in cases if c]
print('{"made_with":"scipy %s","cases":[\n%s\n]}' % (__version__, ",\n".join(cases)))
