"""Normal distribution, expected shortage and expected leftover by scipy."""

import json
import sys

import numpy as np
from scipy import integrate, stats


def answer(question):
    demand = stats.norm(question["mean"], question["spread"])
    stocks = np.array(question["stocks"])
    # The loss by quadrature of its definition, not by the closed form that the engine uses.
    end = question["mean"] + 40 * question["spread"]
    short = [integrate.quad(demand.sf, q, end, epsabs=1e-14, epsrel=1e-12, points=[question["mean"]]
                            if q < question["mean"] else None, limit=400)[0] for q in stocks]
    start = question["mean"] - 40 * question["spread"]
    over = [integrate.quad(demand.cdf, start, q, epsabs=1e-14, epsrel=1e-12, points=[question["mean"]]
                           if q > question["mean"] else None, limit=400)[0] for q in stocks]
    return {
        "chance_short": demand.sf(stocks).tolist(),
        "short": short,
        "over": over,
        "quantiles": stats.norm.ppf(question["chances"]).tolist(),
    }


json.dump(answer(json.load(sys.stdin)), sys.stdout)
