"""Makes fan_reference.json: quantiles of the time through consecutive exponential stages, by SciPy.

Needs Python 3 with SciPy 1.17.1 (and the NumPy it brings). Not run by the tests.

    python3 tests/reference/fan_reference.py > tests/reference/fan_reference.json

The time from one rung to a worse one is the sum of the dwells between, each exponential: a
hypoexponential distribution. Its quantile is found by scipy.optimize.brentq on the distribution function
1 - sum(a exp(S t)), with scipy.linalg.expm of the sub-generator S and a the start in its first stage.
A single stage has to agree with scipy.stats.expon.ppf and equal stages with scipy.stats.gamma.ppf, and
every case with the share of 200 000 simulated sums below it.
"""

import json

import numpy as np
from scipy import __version__, linalg, optimize, stats

assert __version__ == "1.17.1", __version__

CHANCES = [0.05, 0.5, 0.95]
# The starting values of four kinds, and means that are equal or far apart.
MEANS = [
    [1500.0, 600.0, 250.0, 60.0], [2000.0, 700.0, 300.0, 60.0], [1000.0, 400.0, 150.0, 25.0],
    [6000.0, 2000.0, 800.0, 150.0], [200.0, 200.0, 200.0, 200.0], [900.0, 3.0, 700.0, 1.0],
]


def below(stages, time):
    """The chance that all stages are through by a time."""
    generator = np.diag([-1 / mean for mean in stages])
    for n, mean in enumerate(stages[:-1]):
        generator[n, n + 1] = 1 / mean
    return 1 - linalg.expm(generator * time)[0].sum()


def quantile(stages, chance):
    most = 40 * sum(stages)
    return optimize.brentq(lambda t: below(stages, t) - chance, 0, most, xtol=1e-12, rtol=1e-14)


def checked(rng, stages, chance):
    found = quantile(stages, chance)
    other = None
    if len(stages) == 1:
        other = stats.expon.ppf(chance, scale=stages[0])
    elif len(set(stages)) == 1:
        other = stats.gamma.ppf(chance, len(stages), scale=stages[0])
    if other is not None and abs(other / found - 1) > 1e-9:
        raise SystemExit(f"{stages} at {chance}: {found} and {other}")
    sums = rng.exponential(stages, (200_000, len(stages))).sum(axis=1)
    share = (sums <= found).mean()
    if abs(share - chance) > 5 * (chance * (1 - chance) / 200_000) ** 0.5:
        raise SystemExit(f"{stages} at {chance}: {share} of the simulated sums")
    return found


def main():
    rng = np.random.default_rng(20260801)
    cases = []
    for means in MEANS:
        for start in range(4):
            for to in range(start + 1, 5):
                wear = [checked(rng, means[start:to], chance) for chance in CHANCES]
                cases.append({"means": means, "from": start, "to": to, "wear": wear})
    print(json.dumps({"scipy": __version__, "chances": CHANCES, "cases": cases}, indent=1))


main()
