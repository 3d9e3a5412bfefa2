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


def apart(one, other):
    return np.linalg.norm(one[:, None] - other[None], axis=2)


def trend_at(at):
    return np.column_stack([np.ones(len(at)), at])


def without_trend(at, height, wanted, sill, length, noise):
    kernel = ConstantKernel(sill, "fixed") * Matern(length, "fixed", nu=1.5)
    model = GaussianProcessRegressor(kernel, alpha=noise, optimizer=None).fit(at, height)
    mean, covariance = model.predict(wanted, return_cov=True)
    return {"mean": mean.tolist(), "covariance": covariance.tolist(),
            "log_likelihood": float(model.log_marginal_likelihood_value_)}


def with_trend(at, height, wanted, sill, length, noise):
    """Universal kriging; the nugget is the shots' noise, so it is taken off the variance again."""
    model = UniversalKriging(
        at[:, 0], at[:, 1], height, drift_terms=["regional_linear"], variogram_model="custom",
        variogram_function=lambda p, d: p[1] * (d > 0) + p[0] * (1.0 - matern32(d, p[2])),
        variogram_parameters=[sill, noise, length])
    mean, variance = model.execute("points", wanted[:, 0].copy(), wanted[:, 1].copy())
    return {"mean": np.asarray(mean).tolist(), "variance": (np.asarray(variance) - noise).tolist()}


def about(at, height, whole, known):
    """Log density of the shots under a trend that is known in part, the level taken out by one orthonormal contrast set.

    `known` holds means and precisions of the trend's three coefficients; a precision of 0 leaves one open.
    """
    sure = np.array(known["precision"]) > 0
    design, mean = trend_at(at), np.array(known["mean"])
    joint = whole + design[:, sure] @ np.diag(1.0 / np.array(known["precision"])[sure]) @ design[:, sure].T
    contrasts = linalg.null_space(design[:, ~sure].T)
    off = height - design[:, sure] @ mean[sure]
    return float(stats.multivariate_normal(cov=contrasts.T @ joint @ contrasts).logpdf(contrasts.T @ off))


def restricted(at, height, sill, length, noise):
    """Log density of the contrasts that a linear trend does not touch, with orthonormal contrasts."""
    contrasts = linalg.null_space(trend_at(at).T)
    whole = sill * matern32(apart(at, at), length) + noise
    return float(stats.multivariate_normal(cov=contrasts.T @ whole @ contrasts).logpdf(contrasts.T @ height))


def averaged(question, at, height, wanted):
    """The mixture over roughness and length, as `docs/methods/base-surface.md` states it, by generalised least squares,
    the fall known beforehand to its spread.

    Shots and targets are seen with `noise`, `common` and `own`: the covariances of the shots' errors, of the shots'
    with the targets', and of the targets' common errors.
    """
    prior = question["prior"]
    noise, common, own = (np.array(question[name], dtype=float) for name in ("errors", "common", "own"))
    design, target = trend_at(at), trend_at(wanted)
    known = question["known"]
    precision, before = np.diag(known["precision"]), np.array(known["mean"])
    weights, means, spreads = [], [], []
    for step_length in prior["nodes"]:
        for step_sill in prior["nodes"]:
            length = prior["length"] * np.exp(prior["spread"] * step_length)
            sill = (prior["roughness"] * np.exp(prior["spread"] * step_sill)) ** 2
            whole = sill * matern32(apart(at, at), length) + noise
            reach = sill * matern32(apart(at, wanted), length) + common
            inverse = linalg.inv(whole)
            information = design.T @ inverse @ design + precision
            slope = linalg.solve(information, design.T @ inverse @ height + precision @ before)
            left = target.T - design.T @ inverse @ reach
            weights.append(about(at, height, whole, known) - 0.5 * (step_length**2 + step_sill**2))
            means.append(target @ slope + reach.T @ inverse @ (height - design @ slope))
            spreads.append(sill * matern32(apart(wanted, wanted), length) + own - reach.T @ inverse @ reach
                           + left.T @ linalg.solve(information, left))
    weights = np.exp(np.array(weights) - max(weights))
    weights = np.where(weights >= prior["lightest"], weights, 0.0)
    weights /= weights.sum()
    mean = weights @ np.array(means)
    off = np.array(means) - mean
    whole = np.einsum("k,kij->ij", weights, np.array(spreads)) + np.einsum("k,ki,kj->ij", weights, off, off)
    return {"mean": mean.tolist(), "covariance": whole.tolist(), "kept": int((weights > 0).sum())}


def answer(question):
    at, height = np.array(question["at"], dtype=float), np.array(question["height"], dtype=float)
    wanted = np.array(question["wanted"], dtype=float)
    if "prior" in question:
        return averaged(question, at, height, wanted)
    sill, length, noise = question["sill"], question["length"], question["noise"]
    return {
        "plain": without_trend(at, height, wanted, sill, length, noise),
        "trend": with_trend(at, height, wanted, sill, length, noise),
        "restricted": restricted(at, height, sill, length, noise * np.eye(len(at))),
    }


json.dump(answer(json.load(sys.stdin)), sys.stdout)
