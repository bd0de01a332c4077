"""Makes passage_reference.json: best choices within limits by an independent solver, and what a stock of
spares protects, by SciPy.

Needs Python 3 with SciPy 1.17.1 (and the NumPy it brings). Not run by the tests.

    python3 tests/reference/passage_reference.py > tests/reference/passage_reference.json

Each choice is a mixed-integer programme for scipy.optimize.milp (the HiGHS solver, branch and cut) with a
gap of nothing: maximise the gains, subject to every limit, where opening is a variable of its own that each
thing behind it asks for. Counts of spares are one variable for each spare and count, of which at most one
is taken. Poisson figures are those of scipy.stats.poisson.
"""

import json
import math
import os
import random

import numpy as np
from scipy import __version__, optimize, stats

assert __version__ == "1.17.1", __version__

# The solver writes lines of its own to the standard output: they go to the standard error.
ANSWER = os.fdopen(os.dup(1), "w")
os.dup2(2, 1)
RANDOM = random.Random(1957)


def milp(gains, rows, limits):
    """The largest gain of variables 0 or 1 with rows @ x <= limits."""
    done = optimize.milp(
        c=-np.array(gains, dtype=float), integrality=np.ones(len(gains)), bounds=optimize.Bounds(0, 1),
        constraints=optimize.LinearConstraint(np.array(rows, dtype=float), -np.inf, np.array(limits, dtype=float)),
        options={"mip_rel_gap": 0.0})
    assert done.status == 0, done.message
    return -done.fun


def choice(things, limited, openings, grid):
    gains = [round(RANDOM.uniform(0.0, 2.0) * RANDOM.random() ** 2, 6) for _ in range(things)]
    costs = [[RANDOM.randrange(1, 49) * grid if d == 0 else RANDOM.randrange(0, 400) for d in range(limited)]
             for _ in range(things)]
    opening = [[RANDOM.randrange(1, 13) * grid] + [RANDOM.randrange(0, 30) for _ in range(limited - 1)]
               for _ in range(openings)]
    behind = [RANDOM.choice([None, *range(openings)]) for _ in range(things)]
    share = RANDOM.uniform(0.1, 0.7)
    limits = [int(share * sum(c[d] for c in costs)) for d in range(limited)]
    # Variables: the things, then the openings.
    rows = [[c[d] for c in costs] + [o[d] for o in opening] for d in range(limited)]
    bounds = [float(limit) for limit in limits]
    for thing, group in enumerate(behind):
        if group is not None:
            row = [0] * (things + openings)
            row[thing], row[things + group] = 1, -1
            rows.append(row)
            bounds.append(0)
    best = milp(gains + [0.0] * openings, rows, bounds)
    return {"gains": gains, "costs": costs, "openings": opening, "behind": behind, "limits": limits, "best": best}


def spares(kinds, limited):
    demand = [round(RANDOM.uniform(0.05, 5.0) * RANDOM.random(), 4) for _ in range(kinds)]
    beta = [round(RANDOM.uniform(0.1, 1.0), 2) for _ in range(kinds)]
    costs = [[RANDOM.randrange(1, 9) for _ in range(limited)] for _ in range(kinds)]
    limits = [RANDOM.randrange(4, 25) for _ in range(limited)]
    gains, rows, each = [], [[] for _ in range(limited)], []
    for kind in range(kinds):
        for count in range(1, max(limits) + 1):
            quiet = lambda k: math.log1p(-beta[kind] * stats.poisson.sf(k, demand[kind]))
            gains.append(quiet(count) - quiet(0))
            each.append(kind)
            for d in range(limited):
                rows[d].append(costs[kind][d] * count)
    for kind in range(kinds):
        rows.append([1 if at == kind else 0 for at in each])
    best = milp(gains, rows, limits + [1] * kinds)
    none = sum(math.log1p(-b * stats.poisson.sf(0, m)) for b, m in zip(beta, demand))
    return {"demand": demand, "beta": beta, "costs": costs, "limits": limits, "trouble": -math.expm1(none + best)}


def poisson(mean, stock):
    short = sum(stats.poisson.sf(n, mean) for n in range(stock))
    return {"mean": mean, "stock": stock, "protection": stats.poisson.cdf(stock, mean),
            "beyond": stats.poisson.sf(stock, mean), "backorders": mean - short}


choices = [choice(n, 1, g, 5) for n in (6, 14, 30, 60) for g in (0, 3, 6) for _ in range(3)]
choices += [choice(n, 1, g, 7) for n in (12, 25) for g in (0, 4) for _ in range(2)]
choices += [choice(n, d, g, 5) for n in (8, 16, 28) for d in (2, 3) for g in (0, 4) for _ in range(2)]
print(json.dumps({
    "scipy": __version__,
    "choices": choices,
    "spares": [spares(n, d) for n in (3, 5, 8) for d in (1, 2, 3) for _ in range(2)],
    "poisson": [poisson(m, s) for m in (0.05, 1.0, 2.4, 2.6, 3.0, 4.0, 4.32, 6.48, 8.0) for s in range(0, 15)],
}, separators=(",", ":")), file=ANSWER)
