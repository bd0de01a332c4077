"""Makes pooled_reference.json: gamma-Poisson fits by maximum marginal likelihood, by SciPy.

Needs Python 3 with SciPy 1.17.1 (and the NumPy it brings). Not run by the tests.

    python3 tests/reference/pooled_reference.py > tests/reference/pooled_reference.json

Of each set of counts and exposures scipy.stats.nbinom.logpmf with size `shape` and chance
rate / (rate + exposure) is summed and made as large as can be by scipy.optimize.minimize over the
logarithms of shape and rate, from several beginnings. Where the best shape lies beyond 1e6, or makes what
was seen no likelier than one Poisson rate for all (scipy.stats.poisson) by 1e-7, the shape is null.
"""

import json

import numpy as np
from scipy import __version__, optimize, stats

assert __version__ == "1.17.1", __version__

# Failures of ten pumps and thousands of hours: Gaver and O'Muircheartaigh (1987), Technometrics 29, as
# printed in the example of a published statistics manual (generalized mixed models, pump failures).
PUMPS = (
    [5, 1, 5, 14, 3, 19, 1, 1, 4, 22],
    [94.320, 15.720, 62.880, 125.760, 5.240, 31.440, 1.048, 1.048, 2.096, 10.480],
)
# Lip cancer in 56 districts of Scotland, observed and expected: Clayton and Kaldor (1987), Biometrics 43.
LIPS = (
    [9, 39, 11, 9, 15, 8, 26, 7, 6, 20, 13, 5, 3, 8, 17, 9, 2, 7, 9, 7, 16, 31, 11, 7, 19, 15, 7, 10, 16,
     11, 5, 3, 7, 8, 11, 9, 11, 8, 6, 4, 10, 8, 2, 6, 19, 3, 2, 3, 28, 6, 1, 1, 1, 1, 0, 0],
    [1.4, 8.7, 3.0, 2.5, 4.3, 2.4, 8.1, 2.3, 2.0, 6.6, 4.4, 1.8, 1.1, 3.3, 7.8, 4.6, 1.1, 4.2, 5.5, 4.4,
     10.5, 22.7, 8.8, 5.6, 15.5, 12.5, 6.0, 9.0, 14.4, 10.2, 4.8, 2.9, 7.0, 8.5, 12.3, 10.1, 12.7, 9.4,
     7.2, 5.3, 18.8, 15.8, 4.3, 14.6, 50.7, 8.2, 5.6, 9.3, 88.7, 19.6, 3.4, 3.6, 5.7, 7.0, 4.2, 1.8],
)


def fit(counts, times):
    n, t = np.array(counts), np.array(times)

    def against(logs):
        shape, rate = np.exp(np.clip(logs, -40, 40))
        return -stats.nbinom.logpmf(n, shape, rate / (rate + t)).sum()

    mean = n.sum() / t.sum()
    best = None
    for start in (-1.0, 0.0, 1.0, 3.0):
        found = optimize.minimize(
            against, [start, start - np.log(mean)], method="Nelder-Mead",
            options={"xatol": 1e-11, "fatol": 1e-13, "maxiter": 20_000, "maxfev": 20_000},
        )
        if best is None or found.fun < best.fun:
            best = found
    alike = stats.poisson.logpmf(n, mean * t).sum()
    shape, rate = np.exp(best.x)
    if shape > 1e6 or -best.fun - alike <= 1e-7:
        return {"shape": None, "mean": mean, "gain": 0.0}
    return {"shape": shape, "mean": shape / rate, "gain": -best.fun - alike}


def main():
    rng = np.random.default_rng(20261130)
    named = [("pumps", PUMPS), ("lips", LIPS)]
    for number in range(30):
        boats = int(rng.integers(3, 16))
        times = np.round(rng.uniform(20, 4000, boats), 1)
        shape = float(rng.choice([0.4, 1.0, 3.0, 20.0, 1e9]))
        rates = rng.gamma(shape, 1 / (shape * float(rng.choice([60, 250, 900]))), boats)
        named.append((f"drawn {number}", (rng.poisson(rates * times).tolist(), times.tolist())))
    cases = []
    for name, (counts, times) in named:
        if sum(counts) == 0:
            continue
        cases.append({"name": name, "moves": counts, "time": times, **fit(counts, times)})
    print(json.dumps({"scipy": __version__, "cases": cases}, indent=1))


if __name__ == "__main__":
    main()
