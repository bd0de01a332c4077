"""Makes causes_reference.json: posteriors of small networks of causes and answers, by pyAgrum.

Needs Python 3 with pyAgrum 3.3.1. Not run by the tests.

    python3 tests/reference/causes_reference.py > tests/reference/causes_reference.json

Each network has causes that hold independently and questions whose answers follow by a leaky noisy-OR for
each answer, made a distribution: with s(a) = 1 - (1 - leak a) prod(1 - strength), the normal answer has
prod(1 - s), and the others share the rest as s. The tables are filled here, entry by entry, and the library
does the inference (lazy propagation, exact). The first network is written by hand, the others are drawn with
a fixed seed. Where a question has one answer, the library's own noisy-OR node has to give the same.
"""

import itertools
import json
import random

import pyagrum as gum

assert gum.__version__ == "3.3.1", gum.__version__

BY_HAND = {
    "priors": [0.02, 0.01, 0.005],
    "questions": [
        {"leaks": [0.01, 0.02], "strengths": [[0.65, 0.0], [0.30, 0.65], [0.0, 0.0]]},
        {"leaks": [0.005], "strengths": [[0.90], [0.0], [0.65]]},
    ],
}


def outcomes(question, held):
    shown = []
    for answer, leak in enumerate(question["leaks"]):
        hidden = 1 - leak
        for cause, holds in enumerate(held):
            hidden *= 1 - question["strengths"][cause][answer] * holds
        shown.append(1 - hidden)
    ok = 1.0
    for s in shown:
        ok *= 1 - s
    return [(1 - ok) * s / sum(shown) for s in shown] + [ok]


def network(spec):
    net = gum.BayesNet()
    causes = [net.add(gum.LabelizedVariable(f"c{n}", "", 2)) for n in range(len(spec["priors"]))]
    for node, prior in zip(causes, spec["priors"]):
        net.cpt(node).fillWith([1 - prior, prior])
    for n, question in enumerate(spec["questions"]):
        node = net.add(gum.LabelizedVariable(f"q{n}", "", len(question["leaks"]) + 1))
        for cause in causes:
            net.addArc(cause, node)
        for held in itertools.product([0, 1], repeat=len(causes)):
            where = {f"c{c}": holds for c, holds in enumerate(held)}
            net.cpt(node)[where] = outcomes(question, held)
    return net


def posterior(net, causes, said):
    inference = gum.LazyPropagation(net)
    inference.setEvidence({f"q{n}": answer for n, answer in said.items()})
    inference.makeInference()
    return [float(inference.posterior(f"c{n}")[1]) for n in range(causes)]


def own_noisy_or(spec):
    """The same with the library's noisy-OR node, where every question has one answer."""
    net = gum.BayesNet()
    causes = [net.add(gum.LabelizedVariable(f"c{n}", "", 2)) for n in range(len(spec["priors"]))]
    for node, prior in zip(causes, spec["priors"]):
        net.cpt(node).fillWith([1 - prior, prior])
    for n, question in enumerate(spec["questions"]):
        node = net.addNoisyORNet(gum.LabelizedVariable(f"q{n}", "", 2), question["leaks"][0])
        for c, cause in enumerate(causes):
            if question["strengths"][c][0]:
                net.addWeightedArc(cause, node, question["strengths"][c][0])
    return net


def main():
    rng = random.Random(19)
    specs = [BY_HAND]
    for size in (4, 6, 8):
        specs.append({
            "priors": [rng.uniform(0.005, 0.2) for _ in range(size)],
            "questions": [{
                "leaks": [rng.uniform(1e-3, 0.1) for _ in range(answers)],
                "strengths": [
                    [rng.choice([0, 0, 0.08, 0.3, 0.65, 0.9]) for _ in range(answers)] for _ in range(size)
                ],
            } for answers in (1, 2, 3, 5)],
        })
    cases = []
    for spec in specs:
        net, size = network(spec), len(spec["priors"])
        for _ in range(6):
            asked = rng.sample(range(len(spec["questions"])), rng.randint(1, len(spec["questions"])))
            said = {q: rng.randrange(len(spec["questions"][q]["leaks"]) + 1) for q in asked}
            cases.append({**spec, "said": sorted(said.items()), "posteriors": posterior(net, size, said)})
    single = {**specs[1], "questions": [q for q in specs[1]["questions"] if len(q["leaks"]) == 1]}
    for answer in (0, 1):
        filled = posterior(network(single), 4, {0: answer})
        # The library's node has what shows as its state 1.
        own = posterior(own_noisy_or(single), 4, {0: 1 - answer})
        assert max(abs(a - b) for a, b in zip(filled, own)) < 1e-12, (filled, own)
    lines = ",\n  ".join(json.dumps(case) for case in cases)
    print(f'{{\n "pyagrum": "{gum.__version__}",\n "cases": [\n  {lines}\n ]\n}}')


main()
