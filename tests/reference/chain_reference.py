"""Reference values for the chance that an item has failed, in 50-digit arithmetic.

Writes chain_reference.json beside itself. Needs mpmath 1.3.0 (pip install mpmath==1.3.0).

The chain moves down one rung at a time, each dwell exponential, failed absorbing. Each value is
entry (from, failed) of exp(Q t) by mpmath's scaled Taylor series at 150 digits, kept to 50. Where the
rates of the rungs left differ, the partial-fraction formula of the hypoexponential distribution, at 400
digits so that its cancellation does no harm, has to agree to 50 digits.
"""

import json
import pathlib
import random

from mpmath import expm, matrix, mp, mpf, nstr

DIGITS = 50


def by_matrix(means, start, time):
    """exp(Q t), entry (start, failed)."""
    with mp.workdps(150):
        generator = matrix(5, 5)
        for rung, mean in enumerate(means):
            rate = mpf(1) / mpf(mean)
            generator[rung, rung] = -rate
            generator[rung, rung + 1] = rate
        return expm(generator * mpf(time), method="taylor")[start, 4]


def by_partial_fractions(means, start, time):
    """1 - sum over i of exp(-r_i t) * product over j != i of r_j / (r_j - r_i)."""
    with mp.workdps(400):
        rates = [mpf(1) / mpf(mean) for mean in means[start:]]
        survivors = mpf(0)
        for i, rate in enumerate(rates):
            weight = mpf(1)
            for j, other in enumerate(rates):
                if j != i:
                    weight *= other / (other - rate)
            survivors += weight * mp.exp(-rate * mpf(time))
        return 1 - survivors


def checked(means, start, time):
    value = by_matrix(means, start, time)
    left = means[start:]
    if len(set(left)) == len(left):
        other = by_partial_fractions(means, start, time)
        if abs(other - value) > value * mpf(10) ** -DIGITS:
            raise SystemExit(f"{means} from {start} at {time}: {value} and {other} differ")
    return value


def mean_sets():
    # The starting values of the eleven kinds.
    yield from (
        [1500.0, 600.0, 250.0, 60.0],
        [2000.0, 700.0, 300.0, 60.0],
        [6000.0, 2000.0, 800.0, 150.0],
        [1200.0, 400.0, 150.0, 30.0],
        [1000.0, 400.0, 150.0, 25.0],
        [7500.0, 2500.0, 900.0, 190.0],
        [3000.0, 1200.0, 500.0, 120.0],
        [2000.0, 700.0, 300.0, 80.0],
        [5000.0, 1700.0, 700.0, 200.0],
    )
    # All equal, some equal.
    yield from ([mean] * 4 for mean in (1.0, 60.0, 1000.0, 1e5))
    yield from ([60.0, 60.0, 250.0, 250.0], [250.0, 60.0, 250.0, 60.0])
    # Nearly equal: one part in 1e9, in 1e12, in 1e5.
    for mean, part in ((60.0, 1e-9), (1000.0, 1e-9), (60.0, 1e-12), (300.0, 1e-5)):
        yield [mean, mean * (1 + part), mean * (1 - part), mean * (1 + 2 * part)]
    # Far apart.
    yield from (
        [1.0, 1e5, 1.0, 1e5],
        [1e5, 1.0, 1e5, 1.0],
        [1.0, 100.0, 1e4, 1e5],
        [1e5, 1e4, 100.0, 1.0],
        [1.0, 1.0, 1.0, 1e5],
        [1e5, 1e5, 1e5, 1.0],
    )
    # Anything, seeded.
    dice = random.Random(882)
    for _ in range(8):
        yield [round(10 ** dice.uniform(0, 5), 3) for _ in range(4)]


def main():
    mp.dps = DIGITS
    dice = random.Random(1629)
    groups = []
    for means in mean_sets():
        cases = []
        for start in range(4):
            # Round times, a random one, and one where the chance is near 1e-15.
            scale = mpf(1)
            for mean in means[start:]:
                scale *= mpf(mean)
            steps = 4 - start
            tiny = float((mpf(10) ** -15 * scale * mp.factorial(steps)) ** (mpf(1) / steps))
            times = [1e-3, 1.0, 50.0, 1e3, 1e6, round(10 ** dice.uniform(-3, 6), 4), tiny]
            for time in times:
                value = checked(means, start, time)
                cases.append([start, time, nstr(value, 22)])
        groups.append((means, cases))
    lines = []
    for means, cases in groups:
        rows = ",\n  ".join(json.dumps(case) for case in cases)
        lines.append(f'{{"means": {json.dumps(means)}, "cases": [\n  {rows}]}}')
    text = "[\n" + ",\n".join(lines) + "\n]\n"
    pathlib.Path(__file__).with_suffix(".json").write_text(text, encoding="utf-8")
    print(sum(len(cases) for _, cases in groups), "cases")


if __name__ == "__main__":
    main()
