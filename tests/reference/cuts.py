"""The least stock length that pieces can be cut from, by CP-SAT; lengths in whole steps."""

import json
import sys

from ortools.sat.python import cp_model


def least(case):
    """Each stick is one of the stock lengths or not there; kinds of pieces are counted into sticks."""
    stock, kerf = case["stock"], case["kerf"]
    kinds = sorted(map(tuple, case["pieces"]), reverse=True)
    model = cp_model.CpModel()
    sticks = range(case["sticks"])
    chosen = [[model.new_bool_var("") for _ in stock] for _ in sticks]
    cuts = [[model.new_int_var(0, count, "") for _, count in kinds] for _ in sticks]
    bought = [sum(length * var for length, var in zip(stock, row)) for row in chosen]
    for row, counts, length in zip(chosen, cuts, bought):
        model.add_at_most_one(row)
        # The last cut may be the end of the stick, so a stick holds one cut more than its length.
        room = length + kerf * sum(row)
        model.add(sum((kind[0] + kerf) * count for kind, count in zip(kinds, counts)) <= room)
    for kind, (_, count) in enumerate(kinds):
        model.add(sum(counts[kind] for counts in cuts) == count)
    for one, next_one in zip(bought, bought[1:]):
        model.add(one >= next_one)
    model.minimize(sum(bought))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = 20
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE), solver.status_name(status)
    return {
        "bought": round(solver.objective_value),
        "bound": round(solver.best_objective_bound),
        "is_least": status == cp_model.OPTIMAL,
    }


json.dump([least(case) for case in json.load(sys.stdin)], sys.stdout)
