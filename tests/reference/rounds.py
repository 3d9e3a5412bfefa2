"""Finishing rounds as a CP-SAT model in which every person and every machine is named."""

import json
import sys
from math import ceil

from ortools.sat.python import cp_model


def day(q, end=None):
    """The model; with an end given, the goal is the people's time on site."""
    model = cp_model.CpModel()
    horizon = q["horizon"]
    people = range(q["people"])
    machines = range(len(q["machines"]))
    stays = {("person", p): [] for p in people} | {("machine", m): [] for m in machines}
    ends = []

    def piece(doers, start, minutes, floor):
        for key in doers:
            has = model.new_bool_var("")
            interval = model.new_optional_fixed_size_interval_var(start, minutes, has, "")
            stays[key].append((has, interval, start, minutes, floor))
            yield key, has

    last = [model.new_int_var(0, horizon, "") for _ in people]
    for busy in q["busy"]:
        start = model.new_constant(busy["from"])
        chosen = []
        for (_, p), has in piece([("person", p) for p in people], start, busy["until"] - busy["from"], busy["floor"]):
            chosen.append(has)
            model.add(last[p] >= busy["until"]).only_enforce_if(has)
        model.add(sum(chosen) == busy["people"])
    for bay in q["bays"]:
        before = None
        for r in bay["rounds"]:
            start = model.new_int_var(r["earliest"], horizon, "")
            stop = model.new_int_var(0, r["latest"], "")
            ways = []
            for way in r["ways"]:
                taken = model.new_bool_var("")
                ways.append(taken)
                model.add(stop == start + way["minutes"]).only_enforce_if(taken)
                named = []
                for (_, p), has in piece([("person", p) for p in people], start, way["minutes"], bay["floor"]):
                    named.append(has)
                    model.add(last[p] >= stop).only_enforce_if(has)
                model.add(sum(named) == way["people"] * taken)
                if way["kind"] is not None:
                    able = [("machine", m) for m in machines if q["machines"][m]["kind"] == way["kind"]]
                    model.add(sum(has for _, has in piece(able, start, way["minutes"], bay["floor"])) == taken)
            model.add_exactly_one(ways)
            if before is not None:
                model.add(start >= before + r["gap"])
            before = stop
            ends.append(stop)
    for key, list_ in stays.items():
        model.add_no_overlap([interval for _, interval, *_ in list_])
        road = q["travel"]
        if key[0] == "machine":
            road += q["machines"][key[1]]["moving"]
            home = q["machines"][key[1]]["floor"]
            for has, _, start, _, floor in list_:
                if floor != home:
                    model.add(start >= road).only_enforce_if(has)
        for i, (has, _, start, minutes, floor) in enumerate(list_):
            for other, _, begin, length, place in list_[:i]:
                if floor != place:
                    first = model.new_bool_var("")
                    model.add(begin >= start + minutes + road).only_enforce_if(has, other, first)
                    model.add(start >= begin + length + road).only_enforce_if(has, other, ~first)
    if end is None:
        goal = model.new_int_var(0, horizon, "")
        model.add_max_equality(goal, ends)
        model.minimize(goal)
    else:
        for stop in ends:
            model.add(stop <= end)
        for p in people[1:]:
            model.add(last[p] <= last[p - 1])
        model.minimize(sum(last))
    return model


def least(model, question):
    """The least value found, what nothing lies below, and how the search ended."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = question.get("workers", 2)
    solver.parameters.max_time_in_seconds = question["seconds"]
    status = solver.solve(model)
    known = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return {
        "verdict": solver.status_name(status).lower(),
        "value": round(solver.objective_value) if known else None,
        "bound": ceil(solver.best_objective_bound - 1e-6) if known else None,
        "seconds": solver.wall_time,
    }


def answer(question):
    end = least(day(question), question)
    beside = question["beside"] == "site" and end["verdict"] == "optimal"
    site = least(day(question, end["value"]), question) if beside else None
    return {"end": end, "site": site}


json.dump([answer(question) for question in json.load(sys.stdin)], sys.stdout)
