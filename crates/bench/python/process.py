"""scikit-learn's Gaussian process on the shots of the bench: seconds for fit and prediction, with and without its optimiser."""

import json
import sys
import time
import warnings

import numpy as np
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import ConstantKernel, Matern

warnings.filterwarnings("ignore")


def best_of(runs, work):
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        result = work()
        times.append(time.perf_counter() - start)
    return min(times), result


def main():
    question = json.load(sys.stdin)
    shots, at = np.array(question["shots"]), np.array(question["at"])
    place, height = shots[:, :2], shots[:, 2] - shots[:, 2].mean()

    def fitted():
        kernel = ConstantKernel(1e-4, (1e-6, 1e-2)) * Matern(3.0, (0.3, 30.0), nu=1.5)
        model = GaussianProcessRegressor(kernel, alpha=question["noise"]).fit(place, height)
        return model.predict(at, return_cov=True)

    def held():
        kernel = ConstantKernel(1e-4, "fixed") * Matern(3.0, "fixed", nu=1.5)
        model = GaussianProcessRegressor(kernel, alpha=question["noise"], optimizer=None).fit(place, height)
        return model.predict(at, return_cov=True)

    (fit_time, _), (held_time, (_, covariance)) = best_of(9, fitted), best_of(15, held)
    json.dump({"fitted": fit_time, "held": held_time, "held_sum": float(np.trace(covariance))}, sys.stdout)


main()
