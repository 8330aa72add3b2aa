# ruff: noqa: C901, PLR0912, PLW2901
"""An independent check of a week's plan: knows the rules, not the program."""

from collections import Counter, defaultdict
from itertools import pairwise


def most_at_once(uses):
    """The most of a thing in use at one minute; uses are (from, to, count)."""
    changes = Counter()
    for begins, ends, count in uses:
        changes[begins] += count
        changes[ends] -= count
    level, most = 0, 0
    for minute in sorted(changes):
        level += changes[minute]
        most = max(most, level)
    return most


def faults(problem, plan):
    """Every rule the plan breaks, in words; empty for a sound plan."""
    return [
        *_minutes(problem, plan),
        *_nights(problem, plan),
        *_jars(problem, plan),
        *_made_first(problem, plan),
    ]


def _made_first(problem, plan):
    """What is made to be cooked with is done before a batch of its day uses it."""
    for maker in plan.batches:
        made = problem.candidate(maker.candidate).makes
        if made is None or maker.days[-1] is None:
            continue
        last = len(maker.days) - 1
        done = max(
            s.ends_min
            for s in plan.slots
            if (s.candidate, s.number, s.part) == (maker.candidate, maker.number, last)
        )
        for user in plan.batches:
            for need in problem.candidate(user.candidate).needs:
                if need.material != made.material:
                    continue
                if user.days[need.part] != maker.days[-1]:
                    continue
                who = (user.candidate, user.number, need.part)
                begins = min(
                    s.begins_min
                    for s in plan.slots
                    if (s.candidate, s.number, s.part) == who
                )
                if begins < done:
                    yield f"{made.material}: used at {begins}, made at {done}"


def _minutes(problem, plan):
    have = problem.equipment
    uses = defaultdict(list)
    lines = defaultdict(list)
    for slot in plan.slots:
        task = problem.candidate(slot.candidate).parts[slot.part].tasks[slot.task]
        lines[slot.candidate, slot.number].append((slot, task))
        uses["cooks"].append((slot.begins_min, slot.hands_until_min, 1))
        uses["canners"].append((slot.begins_min, slot.ends_min, task.canners))
        burners = task.canners + task.burner
        uses["burners"].append((slot.begins_min, slot.ends_min, burners))
    for batch in plan.batches:
        rows = lines[batch.candidate, batch.number]
        yield from _batch(
            problem, batch, sorted(rows, key=lambda r: (r[0].part, r[0].task))
        )
        for part in range(len(batch.days)):
            pots = [s for s, t in rows if s.part == part and t.pot]
            if pots:
                span = (min(s.begins_min for s in pots), max(s.ends_min for s in pots))
                uses["pots"].append((*span, 1))
    for thing, spans in uses.items():
        if most_at_once(spans) > getattr(have, thing):
            yield f"{thing} used twice"


def _batch(problem, batch, rows):
    parts = problem.candidate(batch.candidate).parts
    expected = [
        (p, t)
        for p, day in enumerate(batch.days)
        if day is not None
        for t in range(len(parts[p].tasks))
    ]
    if [(slot.part, slot.task) for slot, _ in rows] != expected:
        yield f"{batch}: steps missing or twice"
        return
    for slot, task in rows:
        number = batch.days[slot.part]
        day, part = problem.days[number], parts[slot.part]
        opens, closes = (
            (day.light_opens_min, day.light_closes_min)
            if part.light
            else (day.opens_min, day.closes_min)
        )
        if (
            slot.begins_min < number * 1440 + opens
            or slot.ends_min > number * 1440 + closes
        ):
            yield f"{slot}: outside the hours"
        if not part.light and day.away:
            begins, ends = (number * 1440 + minute for minute in day.away)
            if slot.begins_min < ends and slot.ends_min > begins:
                yield f"{slot}: on the stove while nobody is there"
        if slot.ends_min - slot.begins_min != task.hands_min + task.idle_min:
            yield f"{slot}: wrong length"
    for (one, _), (two, task) in pairwise(rows):
        wait = two.begins_min - one.ends_min
        if one.part == two.part:
            if wait < 0 or (task.wait_max_min is not None and wait > task.wait_max_min):
                yield f"{two}: waited {wait} min"
        else:
            part = parts[two.part]
            if wait < 60 * part.rest_min_h:
                yield f"{two}: stood {wait} min, too short"
            if part.rest_max_h is not None and wait > 60 * part.rest_max_h:
                yield f"{two}: stood {wait} min, too long"


def _nights(problem, plan):
    standing = Counter()
    for batch in plan.batches:
        parts = problem.candidate(batch.candidate).parts
        for n in range(1, len(parts)):
            if parts[n].vessel and batch.days[n] is not None:
                standing.update(range(batch.days[n - 1], batch.days[n]))
    for night, vessels in standing.items():
        if vessels > problem.equipment.vessels:
            yield f"{vessels} vessels stand in night {night}"
    for n, day in enumerate(problem.days):
        if day.loads is not None:
            loads = sum(
                problem.candidate(b.candidate).parts[p].loads
                for b in plan.batches
                for p, on in enumerate(b.days)
                if on == n
            )
            if loads > day.loads:
                yield f"{loads} loads on day {n}"


def _jars(problem, plan):
    for product in problem.products:
        for market in problem.markets:
            ready = product.stock + sum(n for on, n in product.coming if on < market.on)
            for batch in plan.batches:
                candidate = problem.candidate(batch.candidate)
                done = batch.days[-1]
                mine = candidate.product == product.key and done is not None
                if mine and problem.days[done].on < market.on:
                    ready += candidate.jars
            earlier = {m.key for m in problem.markets if m.on <= market.on}
            taken = sum(
                t.jars
                for t in plan.taken
                if t.product == product.key and t.market in earlier
            )
            if taken > ready:
                yield f"{product.key}: {taken} taken of {ready} by {market.key}"
    for market in problem.markets:
        jars = sum(t.jars for t in plan.taken if t.market == market.key)
        if market.places is not None and jars > market.places:
            yield f"{market.key}: {jars} jars on {market.places} places"
    yield from _materials(problem, plan)


def _materials(problem, plan):
    for material in problem.materials:
        stocks = [[0, s.use_by, s.amount] for s in material.stocks]
        for buy in plan.purchases:
            if buy.material == material.key:
                day = problem.number(buy.on)
                keeps = buy.offer.keeps_days
                stocks.append(
                    [
                        day,
                        None if keeps is None else day + keeps,
                        buy.packs * buy.offer.pack,
                    ]
                )
        for batch in plan.batches:
            made = problem.candidate(batch.candidate).makes
            if made and made.material == material.key and batch.days[-1] is not None:
                day, keeps = batch.days[-1], made.keeps_days
                until = None if keeps is None else day + keeps
                stocks.append([day, until, made.amount])
        for stock in stocks:
            if stock[1] is None:
                stock[1] = 99
            elif not isinstance(stock[1], int):
                stock[1] = problem.number(stock[1])
        takes = sorted(
            (b.days[n.part], n.amount)
            for b in plan.batches
            for n in problem.candidate(b.candidate).needs
            if n.material == material.key
        )
        for day, amount in takes:
            for stock in sorted(stocks, key=lambda s: s[1]):
                if stock[0] <= day <= stock[1]:
                    drawn = min(amount, stock[2])
                    stock[2] -= drawn
                    amount -= drawn
            if amount > 0:
                yield f"{material.key}: {amount} missing on day {day}"
