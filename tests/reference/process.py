"""A Gaussian process over shots: scikit-learn without trend, PyKrige and scipy with a linear one."""

import json
import sys

import numpy as np
from pykrige.uk import UniversalKriging
from scipy import linalg, stats
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import ConstantKernel, Matern


def matern32(distance, length):
    scaled = np.sqrt(3.0) * distance / length
    return (1.0 + scaled) * np.exp(-scaled)


def without_trend(at, height, wanted, sill, length, noise):
    kernel = ConstantKernel(sill, "fixed") * Matern(length, "fixed", nu=1.5)
    model = GaussianProcessRegressor(kernel, alpha=noise, optimizer=None).fit(at, height)
    mean, spread = model.predict(wanted, return_std=True)
    return {"mean": mean.tolist(), "variance": (spread**2).tolist(),
            "log_likelihood": float(model.log_marginal_likelihood_value_)}


def with_trend(at, height, wanted, sill, length, noise):
    """Universal kriging; the nugget is the shots' noise, so it is taken off the variance again."""
    model = UniversalKriging(
        at[:, 0], at[:, 1], height, drift_terms=["regional_linear"], variogram_model="custom",
        variogram_function=lambda p, d: p[1] * (d > 0) + p[0] * (1.0 - matern32(d, p[2])),
        variogram_parameters=[sill, noise, length])
    mean, variance = model.execute("points", wanted[:, 0].copy(), wanted[:, 1].copy())
    return {"mean": np.asarray(mean).tolist(), "variance": (np.asarray(variance) - noise).tolist()}


def restricted(at, height, sill, length, covariance):
    """Log density of the contrasts that a linear trend does not touch, with orthonormal contrasts."""
    trend = np.column_stack([np.ones(len(at)), at])
    contrasts = linalg.null_space(trend.T)
    apart = np.linalg.norm(at[:, None] - at[None], axis=2)
    whole = sill * matern32(apart, length) + covariance
    return float(stats.multivariate_normal(cov=contrasts.T @ whole @ contrasts).logpdf(contrasts.T @ height))


def answer(question):
    at, height = np.array(question["at"], dtype=float), np.array(question["height"], dtype=float)
    wanted = np.array(question["wanted"], dtype=float)
    sill, length, noise = question["sill"], question["length"], question["noise"]
    covariance = np.array(question.get("covariance") or noise * np.eye(len(at)))
    return {
        "plain": without_trend(at, height, wanted, sill, length, noise),
        "trend": with_trend(at, height, wanted, sill, length, noise),
        "restricted": restricted(at, height, sill, length, covariance),
    }


json.dump(answer(json.load(sys.stdin)), sys.stdout)
