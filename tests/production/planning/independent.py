# ruff: noqa: C901, PLR0912
"""The week's sums once more, written apart and solved by scipy's HiGHS.

No minutes and no purchases: batches on days, jars on markets. For small
weeks whose days are roomy enough for every timetable.
"""

import itertools


def best(problem):
    """The most a week can earn."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp

    columns, rows = [], []

    def column(worth, top):
        columns.append((float(worth), top))
        return len(columns) - 1

    batches = {}
    for c in problem.candidates:
        choices = [range(len(problem.days))] * len(c.parts)
        for days in itertools.product(*choices):
            if all(_steps(problem, c, n, days) for n in range(len(days))):
                batches[c.key, days] = column(-c.cost, c.most)
        rows.append(({batches[k]: 1 for k in batches if k[0] == c.key}, c.most))
    for n, day in enumerate(problem.days):
        for limit, amount in (
            (day.minutes, lambda part: part.hands_min),
            (day.loads, lambda part: part.loads),
        ):
            rows.append(
                (
                    {
                        x: sum(
                            amount(problem.candidate(key).parts[p])
                            for p, on in enumerate(days)
                            if on == n
                        )
                        for (key, days), x in batches.items()
                    },
                    limit,
                )
            )
    for night in range(len(problem.days)):
        row = {
            x: sum(
                part.vessel and days[p - 1] <= night < days[p]
                for p, part in enumerate(problem.candidate(key).parts)
                if p
            )
            for (key, days), x in batches.items()
        }
        rows.append((row, problem.equipment.vessels))
    tables = {market.key: {} for market in problem.markets}
    for product in problem.products:
        given = {}
        for market in sorted(problem.markets, key=lambda m: m.on):
            steps = {column(w, 1): 1 for w in product.worths[market.key]}
            given |= steps
            tables[market.key] |= steps
            ready = {
                x: -problem.candidate(key).jars
                for (key, days), x in batches.items()
                if problem.candidate(key).product == product.key
                and problem.days[days[-1]].on < market.on
            }
            rows.append((given | ready, product.stock))
        later = {column(w, 1): 1 for jars, w in product.later for _ in range(jars)}
        made = {
            x: -problem.candidate(key).jars
            for (key, _), x in batches.items()
            if problem.candidate(key).product == product.key
        }
        rows.append((given | later | made, product.stock))
    rows += [
        (tables[market.key], market.places)
        for market in problem.markets
        if market.places is not None
    ]
    matrix = np.zeros((len(rows), len(columns)))
    for n, (row, _) in enumerate(rows):
        for x, amount in row.items():
            matrix[n, x] = amount
    found = milp(
        -np.array([worth for worth, _ in columns]),
        constraints=LinearConstraint(matrix, ub=[limit for _, limit in rows]),
        bounds=Bounds(0, [top for _, top in columns]),
        integrality=np.ones(len(columns)),
        options={"mip_rel_gap": 0.0},
    )
    kept = sum(
        float(sum([w for n, w in p.later for _ in range(n)][: p.stock]))
        for p in problem.products
    )
    return -found.fun - kept


def _steps(problem, candidate, n, days):
    """Whether a part may follow the one before on these days."""
    if problem.days[days[n]].minutes < candidate.parts[n].length_min:
        return False
    if n == 0:
        return True
    return days[n] == days[n - 1] + 1
