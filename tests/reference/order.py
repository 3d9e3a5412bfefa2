"""The need by quadrature and the odds and costs of quantities by scipy, in yards."""

import json
import sys

import numpy as np
from scipy import stats


def need(forms, allowance, loss):
    """Mean and spread of V (1 + A) + L by Gauss and Hermite's rule, exact for what is multiplied here."""
    points, weights = np.polynomial.hermite_e.hermegauss(5)
    weights = weights / weights.sum()
    v, a, l = np.meshgrid(*(m + s * points for m, s in (forms, allowance, loss)), indexing="ij")
    w = np.einsum("i,j,k->ijk", weights, weights, weights)
    taken = v * (1 + a) + l
    mean = (w * taken).sum()
    return mean, np.sqrt((w * (taken - mean) ** 2).sum())


def delivery(steps, terms):
    """An order in full trucks; or with its last two loads made even, where that spares the fee and is cheaper."""
    step, truck = terms["increment"], round(terms["truck"] / terms["increment"])
    loads = [truck] * (steps // truck) + ([steps % truck] if steps % truck else [])

    def cost(parts):
        total = 0.0
        for part in parts:
            volume = part * step
            total += terms["price"] * max(volume, terms["minimum"])
            total += terms["fee"] if volume < terms["short_below"] - 1e-9 else 0.0
        return total

    best = cost(loads)
    if len(loads) > 1 and loads[-1] * step < terms["short_below"]:
        two = loads[-2] + loads[-1]
        even = [two - two // 2, two // 2]
        if even[1] * step >= terms["short_below"]:
            best = min(best, cost(loads[:-2] + even))
    return best


def expected_cost(steps, law, terms):
    """The mean over every need, by the share of needs that each number of further increments covers."""
    step, ordered = terms["increment"], steps * terms["increment"]
    total = delivery(steps, terms)
    total += terms["disposal"] * law.expect(lambda need: ordered - need, lb=-np.inf, ub=ordered)
    more = 0
    while law.sf(ordered + more * step) > 1e-14:
        low, high = ordered + more * step, ordered + (more + 1) * step
        chance = law.cdf(high) - law.cdf(low)
        more += 1
        brought = ordered + more * step
        rest = law.expect(lambda need: brought - need, lb=low, ub=high)
        total += chance * (delivery(more, terms) + terms["waiting"]) + terms["disposal"] * rest
    return total


def answer(question):
    mean, spread = need(question["forms"], question["allowance"], question["loss"])
    law, terms = stats.norm(mean, spread), question["terms"]
    steps = question["steps"]
    return {
        "mean": mean,
        "spread": spread,
        "chance_short": [law.sf(s * terms["increment"]) for s in steps],
        "cost": [expected_cost(s, law, terms) for s in steps],
    }


json.dump(answer(json.load(sys.stdin)), sys.stdout)
