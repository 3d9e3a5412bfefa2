"""The next pour and the mean of a kind, by the joint normal law of all that was seen and numerical integration over the spread."""

import json
import sys

import numpy as np
from scipy import integrate, stats

case = json.load(sys.stdin)
prior, seen, kind = case["prior"], case["seen"], case["kind"]
value = np.array([pour["value"] for pour in seen])
doubt = np.array([pour["sd"] for pour in seen])
kinds = [pour["kind"] for pour in seen]
same = np.array([[a == b for b in kinds] for a in kinds], dtype=float)
asked = np.array([k == kind for k in kinds], dtype=float)
crew, among = prior["crew"] ** 2, prior["kinds"] ** 2


def given(spread):
    """Likelihood of all, and the law of the kind's mean, for one spread from pour to pour."""
    covariance = crew + among * same + np.diag(spread**2 + doubt**2)
    likelihood = stats.multivariate_normal(np.full(len(value), prior["mean"]), covariance).pdf(value)
    weights = np.linalg.solve(covariance, crew + among * asked)
    mean = prior["mean"] + weights @ (value - prior["mean"])
    return likelihood, mean, crew + among - weights @ (crew + among * asked)


def over(function):
    """The integral over the spread's logarithm, normal about that of the default with a standard deviation of a half."""
    def part(z):
        spread = prior["pours"] * np.exp(0.5 * z)
        return stats.norm.pdf(z) * function(spread)

    return integrate.quad(part, -8, 8, epsabs=0, epsrel=1e-10, limit=400, points=[-2, 0, 2])[0]


total = over(lambda w: given(w)[0])
mean = over(lambda w: given(w)[0] * given(w)[1]) / total
variance = over(lambda w: given(w)[0] * (given(w)[2] + (given(w)[1] - mean) ** 2)) / total
within = over(lambda w: given(w)[0] * w**2) / total
print(json.dumps({"mean": mean, "typical": variance**0.5, "next": (variance + within) ** 0.5}))
