"""Exact posteriors of a file, a machine and a plate from a few reports whose copies are tied within each plate.

Every failed copy failed at one of seven sets of stages; all ways in which that may be are enumerated. Of a report of n
copies of which `bad` failed at a stage, that stage's likelihood is
    G(s p + n - bad) G(s q + bad) / (G(s p) G(s q)) * G(s) / G(s + n),   s = 1 / rho - 1   (rho = 0: p^(n - bad) q^bad)
with p from its Beta prior, on a grid of 20,000 equally likely points. Prints tied-plates.json.
"""
import itertools
import json

import numpy as np
from scipy.special import gammaln
from scipy.stats import beta

LABELS = json.load(open("series-a.labels.json"))
PRIORS = {"file": (8.5, 1.5), "machine": (9, 1), "plate": (19, 1)}
STAGES = list(PRIORS)
GRID = {stage: beta.ppf((np.arange(20_000) + 0.5) / 20_000, *shape) for stage, shape in PRIORS.items()}
FAIL = {stage: beta.ppf(1 - (np.arange(20_000) + 0.5) / 20_000, *shape[::-1]) for stage, shape in PRIORS.items()}

CASES = [
    ("six good copies", 0.1, [(6, {})]),
    ("two of six failed alike, file", 0.1, [(4, {"file": 2})]),
    ("three of five, unlike", 0.1, [(2, {"file": 1, "machine": 1, "plate": 1})]),
    ("four of four, unknown", 0.1, [(0, {"unknown": 4})]),
    ("two plates", 0.1, [(5, {"machine": 1}), (1, {"machine": 2, "unknown": 1})]),
    ("two plates, strongly tied", 0.5, [(3, {"not the file": 1}), (0, {"plate": 3})]),
    ("two plates, not tied", 0.0, [(5, {"machine": 1}), (1, {"machine": 2, "unknown": 1})]),
]


def log_plate(stage, rho, n, bad):
    p, q = GRID[stage], FAIL[stage]
    if rho == 0:
        return (n - bad) * np.log(p) + bad * np.log(q)
    s = 1 / rho - 1
    pass_ = gammaln(s * p + n - bad) - gammaln(s * p) if n > bad else 0
    fail = gammaln(s * q + bad) - gammaln(s * q) if bad else 0
    return pass_ + fail


def seen(label, failed):
    row = LABELS[label]
    return sum(row[j] for j in failed) / len(failed)


def solve(rho, reports):
    copies = [(r, label) for r, (_, failures) in enumerate(reports) for label, k in failures.items() for _ in range(k)]
    tried = [good + sum(failures.values()) for good, failures in reports]
    sets = [f for size in (1, 2, 3) for f in itertools.combinations(range(3), size)]
    weights = {}
    for way in itertools.product(sets, repeat=len(copies)):
        chance, bad = 1.0, [[0] * len(reports) for _ in STAGES]
        for (r, label), failed in zip(copies, way):
            chance *= seen(label, failed)
            for j in failed:
                bad[j][r] += 1
        key = tuple(map(tuple, bad))
        weights[key] = weights.get(key, 0) + chance
    known = {}

    def likelihood(j, bad):
        if (j, bad) not in known:
            logs = sum(log_plate(STAGES[j], rho, n, b) for n, b in zip(tried, bad))
            known[j, bad] = np.exp(logs * np.ones(20_000))
        return known[j, bad]

    density = [np.zeros(20_000) for _ in STAGES]
    for bad, chance in weights.items():
        all_three = [likelihood(j, bad[j]) for j in range(3)]
        means = [one.mean() for one in all_three]
        for j in range(3):
            density[j] += chance * np.prod([means[i] for i in range(3) if i != j]) * all_three[j]
    return {stage: summary(GRID[stage], density[j]) for j, stage in enumerate(STAGES)}


def summary(p, density):
    share = density / density.sum()
    mean = (share * p).sum()
    below = np.cumsum(share) - share / 2
    q10, q90 = (float(np.interp(at, below, p)) for at in (0.1, 0.9))
    return {"mean": float(mean), "sd": float(np.sqrt((share * (p - mean) ** 2).sum())), "q10": q10, "q90": q90}


results = [
    {"name": name, "rho": rho, "reports": [{"good": g, "failures": f} for g, f in reports], **solve(rho, reports)}
    for name, rho, reports in CASES
]
print(json.dumps(results, indent=1))
