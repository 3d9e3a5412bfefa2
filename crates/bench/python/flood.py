"""Filling a grid by scikit-image, timed; heights are made by the same whole-number generator as ours."""

import json
import sys
import time

import numpy as np
from skimage.morphology import reconstruction

side = json.load(sys.stdin)["side"]
state, heights = 12345, np.empty(side * side)
for i in range(side * side):
    state = (state * 1103515245 + 12345) % 2147483648
    heights[i] = state / 2147483648.0
heights = heights.reshape(side, side)
seed = np.full_like(heights, heights.max())
seed[0, :], seed[-1, :], seed[:, 0], seed[:, -1] = heights[0, :], heights[-1, :], heights[:, 0], heights[:, -1]
best = np.inf
for _ in range(2):
    start = time.perf_counter()
    filled = reconstruction(seed, heights, method="erosion", footprint=np.ones((3, 3)))
    best = min(best, time.perf_counter() - start)
json.dump({"seconds": best, "added": float((filled - heights).sum())}, sys.stdout)
