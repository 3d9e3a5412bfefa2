"""Least-squares fit of a walked outline by scipy, from the measures alone."""

import json
import sys

import numpy as np
from scipy.optimize import least_squares


def answer(question):
    """Corners from lengths, directions or turns of legs and measured distances.

    The start and the direction of the first leg are held: they place the plan and are no measures of its shape.
    """
    legs, measures = question["legs"], question["measures"]
    tape, square = question["tape"], question["heading"]
    count = len(legs)

    def corners(unknown):
        first = unknown[0] * np.array([np.cos(legs[0]["toward"]), np.sin(legs[0]["toward"])])
        return np.vstack([[0.0, 0.0], first, unknown[1:].reshape(-1, 2)])

    def wrapped(angle):
        return np.arctan2(np.sin(angle), np.cos(angle))

    def residuals(unknown):
        at = corners(unknown)
        told, before = [], None
        for i, leg in enumerate(legs):
            step = at[(i + 1) % count] - at[i]
            heading = np.arctan2(step[1], step[0])
            told.append((np.hypot(*step) - leg["length"]) / tape)
            if i == 0:
                pass
            elif leg["toward"] is not None:
                told.append(wrapped(heading - leg["toward"]) / square)
            else:
                told.append(wrapped(heading - before - leg["turn"]) / square)
            before = heading
        for one, other, length in measures:
            told.append((np.hypot(*(at[one] - at[other])) - length) / tape)
        return np.array(told)

    first = np.array(question["first"])
    unknown = np.concatenate([[np.hypot(*first[1])], first[2:].ravel()])
    fit = least_squares(residuals, unknown, xtol=1e-15, ftol=1e-15, gtol=1e-15)
    return {"corners": corners(fit.x).tolist(), "cost": float(2 * fit.cost)}


json.dump(answer(json.load(sys.stdin)), sys.stdout)
