"""Trucks through many days as a queue of events, with numpy's own draws."""

import heapq
import json
import sys

import numpy as np


def lognormal(rng, mean, spread, size=None):
    if spread == 0:
        return mean if size is None else np.full(size, mean)
    variance = np.log1p((spread / mean) ** 2)
    return rng.lognormal(np.log(mean) - variance / 2, np.sqrt(variance), size)


def one_day(q, rng):
    """The waits, idling, ages and edges of a day; events are handled in the order of time."""
    n = len(q["loads"])
    rate = lognormal(rng, *q["rate"])
    late = rng.normal(0, q["lateness"], n)
    out, back = lognormal(rng, *q["haul"], n), lognormal(rng, *q["haul"], n)
    leave, arrive, start, done = (np.zeros(n) for _ in range(4))
    events = [(-np.inf, 0, "home", None) for _ in range(q["trucks"])] + [(0.0, 1, "ready", None)]
    heapq.heapify(events)
    waiting, crew_free, released, last_leave, number = [], False, 0, -np.inf, 2
    idle, edges, ready_since = 0.0, [], 0.0
    while events:
        now, _, what, load = heapq.heappop(events)
        coming = None
        if what == "home" and released < n:
            last_leave = max(q["asked"][released] - q["haul"][0] + late[released], last_leave, now)
            leave[released] = last_leave
            coming = (last_leave + out[released], "arrive", released)
            released += 1
        elif what == "arrive":
            arrive[load] = now
            waiting.append(load)
        elif what == "ready":
            crew_free, ready_since = True, now
            if load is not None:
                coming = (now + back[load] + q["turnaround"], "home", None)
        if coming:
            heapq.heappush(events, (coming[0], number, *coming[1:]))
            number += 1
        if crew_free and waiting:
            load = waiting.pop(0)
            start[load], done[load] = now, now + q["loads"][load] / rate
            idle += now - ready_since
            if ready_since > 0:
                edges.append(now - ready_since)
            crew_free = False
            heapq.heappush(events, (done[load], number, "ready", load))
            number += 1
    on_site = done - arrive - q["free"] * np.array(q["loads"])
    return [done.max(), (start - arrive).sum(), np.maximum(on_site, 0).sum(), idle,
            float(max(edges, default=0.0) > q["cold_joint"]), float((done - leave).max() > q["limit"])]


def answer(question):
    rng = np.random.default_rng(question["seed"])
    days = np.array([one_day(question, rng) for _ in range(question["days"])])
    return {"mean": days.mean(axis=0).tolist(), "spread": days.std(axis=0, ddof=1).tolist()}


json.dump(answer(json.load(sys.stdin)), sys.stdout)
