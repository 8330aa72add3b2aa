"""How long a market week takes to plan, and how near the best it is proven.

Invented weeks of seven days with three outlets; ``make benchmarks`` reports
5, 10, 20, 25 and 40 products. Nothing here fails by the clock: it reports.
"""

import sys
import time

import pytest

from production.planning.week import solve
from tests.production.planning import invented

SEEDS = range(3)


@pytest.mark.parametrize("products", [5, 10, 20, 25, 40])
@pytest.mark.parametrize("hours", ["cook days", "evenings"])
def test_planning_a_week(products, hours):
    opens = invented.COOK_DAYS if hours == "cook days" else invented.EVENINGS
    for seed in SEEDS:
        problem = invented.week(seed, products=products, opens=opens)
        began = time.process_time()
        plan = solve(problem)
        used = time.process_time() - began
        assert plan.objective <= plan.bound
        sys.stdout.write(
            f"{hours}, {products} products: {plan.seconds:.1f} s by the clock, "
            f"{used:.1f} s of one core, gap {float(plan.gap):.1%}, "
            f"{len(plan.batches)} batches\n"
        )
