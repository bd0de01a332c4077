#!/usr/bin/env python3
"""Reference values of the beta-PERT distribution, from SciPy's beta distribution.

Prints JSON for pert_reference.json:

    {"generator": text,
     "single": [{"points": [low, likely, high], "mean", "variance", "quantiles": {"0.1": x, ...}}],
     "sums": [{"points": [[low, likely, high], ...], "p10": x, "p90": x}]}

Sums are of independent estimates: the densities are convolved on a grid of 1/200 of a unit by
the fast Fourier transform, with the distribution function differenced over each cell, so that no
random number is in them. A finer grid changes the quantiles in the fourth decimal.

Made with SciPy 1.17.1 and NumPy 2.4.6; not run by the tests.
"""

import json

import numpy
import scipy
from scipy.signal import fftconvolve
from scipy.stats import beta

SINGLES = [
    (100, 150, 350), (0, 0, 1), (0, 1, 1), (0, 0.5, 1), (0, 0.25, 1), (4, 8, 13), (1, 10, 17),
    (40, 41, 900), (0, 1e-6, 1), (250, 400, 401), (0, 0.249999, 1), (0, 0.7500001, 1),
]
SUMS = [
    [(100, 150, 350), (40, 60, 200)],
    [(100, 150, 350)] * 5,
    [(10, 20, 60), (80, 120, 300), (0, 0, 150), (200, 450, 900), (5, 6, 7), (30, 90, 95)],
    [(20, 30, 80)] * 12,
]
QUANTILES = [0.01, 0.05, 0.1, 0.25, 0.5, 0.8, 0.9, 0.95, 0.99]
STEP = 1 / 200


def distribution(low, likely, high):
    mode = (likely - low) / (high - low)
    return beta(1 + 4 * mode, 5 - 4 * mode, loc=low, scale=high - low)


def single(points):
    d = distribution(*points)
    return {"points": list(points), "mean": float(d.mean()), "variance": float(d.var()),
            "quantiles": {str(q): float(d.ppf(q)) for q in QUANTILES}}


def cells(points):
    """Probability of each grid cell, centred on low, low + STEP, ..."""
    low, _, high = points
    edges = low + STEP * (numpy.arange(round((high - low) / STEP) + 2) - 0.5)
    return numpy.diff(distribution(*points).cdf(edges))


def independent(parts):
    mass = numpy.ones(1)
    for points in parts:
        mass = fftconvolve(mass, cells(points))
    cumulated = numpy.cumsum(mass)
    # A cell reaches half a step to either side of its centre.
    values = sum(p[0] for p in parts) + STEP * (numpy.arange(len(mass)) + 0.5)
    return {"points": [list(p) for p in parts],
            "p10": float(numpy.interp(0.1, cumulated, values)),
            "p90": float(numpy.interp(0.9, cumulated, values))}


print(json.dumps({
    "generator": f"scipy {scipy.__version__}, numpy {numpy.__version__}",
    "single": [single(p) for p in SINGLES],
    "sums": [independent(p) for p in SUMS],
}))
