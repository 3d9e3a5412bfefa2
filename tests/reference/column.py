"""The slab's column as a system of ordinary equations, by scipy's stiff solver, with a full saturation formula."""

import json
import sys
import time

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.sparse import lil_matrix

SIGMA, GAS, LATENT, FILM, STANDING = 5.670374419e-8, 8.314462618, 2.45e6, 0.05, 3.0


def saturation(celsius):
    """Hyland and Wexler's formula over water, Pa."""
    t = celsius + 273.15
    return np.exp(-5.8002206e3 / t + 1.3914993 - 4.8640239e-2 * t + 4.1764768e-5 * t**2
                  - 1.4452093e-8 * t**3 + 6.5459673 * np.log(t))


def cells(q):
    """Sizes and materials from the top: even in the slab, growing below, each layer filled whole."""
    slab = 4 * max(2, round(q["thickness"] / q["spacing"] / 4))
    first = q["thickness"] / slab
    sizes, materials = [first] * slab, [q["concrete"]] * slab
    size, above = first, q["concrete"]
    for layer in q["layers"]:
        size *= np.sqrt(layer["k"] / layer["c"] / (above["k"] / above["c"]))
        n = 1
        while size * (q["growth"]**n - 1) / (q["growth"] - 1) < layer["thickness"]:
            n += 1
        exponents = np.arange(n)
        fits = brentq(lambda g: (size * g**exponents).sum() - layer["thickness"], 1e-6, q["growth"])
        part = size * fits**exponents
        sizes, materials = sizes + list(part), materials + [layer] * n
        size, above = part[-1] * q["growth"], layer
    return np.array(sizes), materials, slab


class Column:
    def __init__(self, q):
        self.q = q
        sizes, materials, slab = cells(q)
        self.slab, k, c = slab, np.array([m["k"] for m in materials]), np.array([m["c"] for m in materials])
        self.n = len(sizes)
        self.capacity = 0.5 * sizes * c
        self.capacity[1:] += 0.5 * (sizes * c)[:-1]
        self.link = k / sizes
        self.volume = np.zeros(self.n)
        self.volume[:slab + 1] = sizes[0]
        self.volume[[0, slab]] = sizes[0] / 2
        self.depth = np.concatenate([[0], np.cumsum(sizes)])[:-1]
        x = np.array(q["weather"])
        wind = x[:, 2]
        convection = np.where(wind <= 5, 5.6 + 4 * wind, 7.2 * np.maximum(wind, 1e-9)**0.78)
        drying = 0.315 * (0.253 + 0.060 * wind * 3.6) / 3.6e6
        self.table = np.column_stack([x[:, 0], x[:, 1], convection, drying, x[:, 3], x[:, 4], x[:, 5] / 3600])
        self.hydration = [q["hydration"][name] for name in ("heat", "ultimate", "time", "shape", "energy")]
        self.skins = q["skins"]

    def start(self):
        q = self.q
        t = q["deep"] + (q["top"] - q["deep"]) * np.exp(-(self.depth - q["thickness"]) / 0.15)
        t[:self.slab] = q["placed_at"]
        share = self.volume[self.slab] * q["concrete"]["c"] / self.capacity[self.slab]
        t[self.slab] = share * q["placed_at"] + (1 - share) * q["top"]
        speed = np.exp(-self.hydration[4] / GAS * (1 / (q["placed_at"] + 273.15) - 1 / 294.25))
        ages = np.full(self.slab + 1, max(q["age"] * speed, 1e-3))
        return np.concatenate([t, ages, [2 * FILM, 0.0]])

    def weather(self, seconds):
        at = (seconds + self.q["placed"]) / self.q["step"]
        i = min(int(at), len(self.table) - 2)
        return self.table[i] + (self.table[i + 1] - self.table[i]) * (at - i)

    def outside(self, w, skin, wet, surface):
        """Heat through the top; under a blanket the outer face by bisection."""
        air, _, convection, _, sun, sky, _ = w
        taken = sun * (skin["dry"] + (skin["wet"] - skin["dry"]) * wet)

        def on(face):
            return taken + skin["emissivity"] * (sky - SIGMA * (face + 273.15)**4) + convection * (air - face)

        if skin["resistance"] == 0:
            return on(surface)
        low, high = -100.0, 200.0
        for _ in range(60):
            face = (low + high) / 2
            if on(face) > (face - surface) / skin["resistance"]:
                low = face
            else:
                high = face
        return ((low + high) / 2 - surface) / skin["resistance"]

    def slope(self, seconds, y):
        n, m = self.n, self.slab + 1
        t, ages, water = y[:n], y[n:n + m], y[-2]
        heat, ultimate, tau, shape, energy = self.hydration
        skin = [s for s in self.skins if s["from"] <= seconds][-1]
        w = self.weather(seconds)
        asked = skin["open"] * w[3] * (saturation(t[0]) - w[1])
        wet = 1.0 if asked < 0 else 1 - np.exp(-max(water, 0.0) / FILM)
        leaving = asked * wet
        bleeding = self.q["bleeding"]
        rise = 0.0
        if ages[self.slab // 2] < bleeding["until"]:
            rise = bleeding["most"] / bleeding["time"] * np.exp(-seconds / bleeding["time"])
        rise += skin["open"] * w[6]
        if water >= STANDING and rise > leaving:
            rise = leaving
        flow = self.link * np.diff(np.append(t, self.q["deep"]))
        flow_in = flow.copy()
        flow_in[1:] -= flow[:-1]
        flow_in[0] += self.outside(w, skin, wet, t[0]) - LATENT * leaving
        speed = np.exp(-energy / GAS * (1 / (t[:m] + 273.15) - 1 / 294.25))
        spent = (tau / ages)**shape
        grown = ultimate * np.exp(-spent) * spent * shape / ages * speed / 3600
        flow_in[:m] += self.volume[:m] * heat * grown
        return np.concatenate([flow_in / self.capacity, speed / 3600, [rise - leaving, leaving]])

    def pattern(self):
        n, m = self.n, self.slab + 1
        p = lil_matrix((n + m + 2, n + m + 2))
        for i in range(n):
            p[i, max(0, i - 1):i + 2] = 1
        for i in range(m):
            p[i, n + i] = p[n + i, i] = 1
        p[0, n + m] = p[n + m, 0] = p[n + m, n + m] = p[n + m + 1, n + m] = p[n + m + 1, 0] = 1
        p[n + m, n + self.slab // 2] = 1
        return p.tocsc()


def answer(q):
    column = Column(q)
    times = np.arange(q["states"]) * q["output"]
    began = time.perf_counter()
    run = solve_ivp(column.slope, (0, times[-1]), column.start(), "BDF", t_eval=times, rtol=q["rtol"],
                    atol=q["atol"], max_step=q["max_step"], jac_sparsity=column.pattern())
    seconds = time.perf_counter() - began
    assert run.success, run.message
    n, slab = column.n, column.slab
    return {"seconds": seconds, "nodes": n, "surface": run.y[0].tolist(), "middle": run.y[slab // 2].tolist(),
            "bottom": run.y[slab].tolist(), "age": run.y[n + slab // 2].tolist(), "water": run.y[-2].tolist(),
            "gone": run.y[-1, -1]}


json.dump([answer(q) for q in json.load(sys.stdin)], sys.stdout)
