"""Works out the sums that a page shows, line by line: `name = expression = value unit` or `expression = value unit`.

A name keeps its full value for the lines after it. A value is right when it is the result rounded to the digits shown.
"""

import json
import re
import sys

import numpy as np
from scipy import stats

FLOOR = (18.0, 10.0)  # ft, the floor of the worked example
SHOT = (4.5, 2.5)  # ft, one of its four shots; the others mirror it


def loss(z):
    """Expected shortage of a standard normal demand over a stock of z."""
    return stats.norm.pdf(z) - z * stats.norm.sf(z)


def matern(distance, length):
    scaled = np.sqrt(3.0) * distance / length
    return (1.0 + scaled) * np.exp(-scaled)


def gauss(low, high, count=60):
    points, weights = np.polynomial.legendre.leggauss(count)
    return (high - low) / 2 * points + (low + high) / 2, (high - low) / 2 * weights


def pairs(length):
    """Mean correlation between all pairs of spots of the floor."""
    (u, wu), (v, wv) = gauss(0, FLOOR[0]), gauss(0, FLOOR[1])
    across, up = np.meshgrid(u, v, indexing="ij")
    share = (FLOOR[0] - across) * (FLOOR[1] - up) * matern(np.hypot(across, up), length)
    return 4 / (FLOOR[0] * FLOOR[1]) ** 2 * float(wu @ share @ wv)


def toward(length):
    """Mean correlation between a shot and all spots of the floor."""
    total = 0.0
    for low_x, high_x in ((0, SHOT[0]), (SHOT[0], FLOOR[0])):
        for low_y, high_y in ((0, SHOT[1]), (SHOT[1], FLOOR[1])):
            (x, wx), (y, wy) = gauss(low_x, high_x), gauss(low_y, high_y)
            across, up = np.meshgrid(x, y, indexing="ij")
            total += float(wx @ matern(np.hypot(across - SHOT[0], up - SHOT[1]), length) @ wy)
    return total / (FLOOR[0] * FLOOR[1])


# Spread of what is known of the fall beforehand.
FALL = 0.01


def twist(rough, length, reading):
    """Variance of the one contrast of the four shots that no plane touches."""
    return rough**2 * (1 - matern(9, length) - matern(5, length) + matern(np.hypot(9, 5), length)) + reading**2


def block(rough, length, reading):
    """Variance of the mean height over the floor for one roughness and length."""
    together = (1 + matern(9, length) + matern(5, length) + matern(np.hypot(9, 5), length)) / 4
    return rough**2 * (pairs(length) - 2 * toward(length) + together) + reading**2 / 4


def corner(rough, length, reading):
    """Variance of the height at a corner of the floor for one roughness and length, by least squares."""
    shots = np.array([(4.5, 2.5), (13.5, 2.5), (4.5, 7.5), (13.5, 7.5)])
    apart = np.linalg.norm(shots[:, None] - shots[None], axis=2)
    whole = rough**2 * matern(apart, length) + reading**2 * np.eye(4)
    reach = rough**2 * matern(np.hypot(*shots.T), length)
    design, target = np.column_stack([np.ones(4), shots]), np.array([1.0, 0.0, 0.0])
    inverse = np.linalg.inv(whole)
    left = target - design.T @ inverse @ reach
    known = np.diag([0.0, FALL**-2, FALL**-2])
    return float(rough**2 - reach @ inverse @ reach + left @ np.linalg.solve(design.T @ inverse @ design + known, left))


def weight(rough, length, reading):
    """How likely the three contrasts of the shots are: twist and up the sheet nought, across it half an inch over 9 ft.

    The fall, known to 1 %, adds to the two contrasts that it touches.
    """
    r9, r5, r103 = matern(9, length), matern(5, length), matern(np.hypot(9, 5), length)
    across = rough**2 * (1 - r9 + r5 - r103) + reading**2 + (9 * FALL) ** 2
    up = rough**2 * (1 + r9 - r5 - r103) + reading**2 + (5 * FALL) ** 2
    return (twist(rough, length, reading) * across * up) ** -0.5 * np.exp(-0.5 * (0.5 / 12) ** 2 / across)


def averaged(variance, reading):
    """Mean of a variance over the grid of roughness and length, by restricted likelihood and prior."""
    steps = [-2.4, -1.6, -0.8, 0.0, 0.8, 1.6, 2.4]
    grid = [(0.375 / 12 * np.exp(0.6 * s), 0.33 * 9 * np.exp(0.6 * t), s * s + t * t) for s in steps for t in steps]
    weights = np.array([weight(rough, length, reading) * np.exp(-0.5 * far) for rough, length, far in grid])
    weights[weights < 0.01 * weights.max()] = 0
    return float(weights @ [variance(rough, length, reading) for rough, length, _ in grid] / weights.sum())


KNOWN = {
    "sqrt": np.sqrt, "exp": np.exp, "log": np.log, "asin": np.arcsin, "hypot": np.hypot, "pi": np.pi,
    "below": stats.norm.cdf, "above": stats.norm.sf, "density": stats.norm.pdf, "loss": loss, "ceil": np.ceil,
    "matern": matern, "pairs": pairs, "toward": toward, "twist": twist, "block": block, "corner": corner,
    "averaged": averaged,
}


def work(line, names):
    """What is wrong with a line, or nothing; keeps the name that it gives."""
    parts = [part.strip() for part in line.split(" = ")]
    name = parts.pop(0) if re.fullmatch(r"[a-zA-Z]\w*", parts[0]) and parts[0] not in names else None
    shown = re.match(r"-?\d+(?:\.(\d+))?", parts[-1])
    if not shown:
        return "no value at the end"
    value = eval(parts[0] if len(parts) > 1 else shown[0], {"__builtins__": {}}, names)
    if name:
        names[name] = value
    half = 0.5 * 10.0 ** -len(shown[1] or "")
    if abs(value - float(shown[0])) > half * (1 + 1e-9):
        return f"is {value:.6g}"
    return None


def answer(question):
    names, wrong = dict(KNOWN), []
    for line in question["sums"]:
        try:
            fault = work(line, names)
        except Exception as error:  # every line is judged; a broken one is told like a wrong one
            fault = f"cannot be worked out: {error}"
        if fault:
            wrong.append(f"{line}: {fault}")
    return {"wrong": wrong}


json.dump(answer(json.load(sys.stdin)), sys.stdout)
