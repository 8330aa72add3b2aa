"""A recipe's steps as the work of its days."""

from production.planning.recipe_work import Step, parts_of

MARMALADE = (
    Step(kind="prepare", hands_min=50),
    Step(kind="cook", hands_min=10, idle_min=90, pot=True),
    Step(kind="stand", hands_min=5, stand_min_h=12, stand_max_h=24),
    Step(kind="cook", day=1, hands_min=45, pot=True),
    Step(kind="fill", day=1, hands_min=18),
    Step(kind="process", day=1, hands_min=5, idle_min=40),
    Step(kind="cool", day=1, hands_min=10),
)


def test_minutes_fall_on_both_days_and_the_canner_on_the_second():
    first, second, light = parts_of(MARMALADE, jars=8, places=9, load_min=35)
    assert (first.hands_min, first.loads, first.vessel) == (65, 0, False)
    assert (second.hands_min, second.loads, second.vessel) == (68, 1, True)
    assert (second.rest_min_h, second.rest_max_h) == (12, 24)
    assert (light.light, light.hands_min, light.rest_min_h) == (True, 10, 12)


def test_fourteen_jars_on_nine_places_are_two_loads_filled_apart():
    _, second, _ = parts_of(MARMALADE, jars=14, places=9, load_min=35)
    assert second.loads == 2
    labels = [task.label for task in second.tasks]
    assert labels[1:5] == [
        "fill load 1",
        "in the canner",
        "fill load 2",
        "in the canner",
    ]
    assert second.hands_min == 68


def test_preparing_is_laid_in_pieces_of_ten_minutes():
    first, *_ = parts_of(MARMALADE, jars=8, places=9, load_min=35)
    pieces = [task.hands_min for task in first.tasks if task.label == "prepare"]
    assert pieces == [10, 10, 10, 10, 10]


def test_a_stand_that_opens_the_second_day_lies_before_it():
    juice = (
        Step(kind="cook", hands_min=15, idle_min=120, pot=True),
        Step(kind="stand", day=1, hands_min=15, stand_min_h=12, stand_max_h=48),
    )
    _, second = parts_of(juice, jars=1, places=9, load_min=35)
    assert (second.rest_min_h, second.rest_max_h, second.vessel) == (12, 48, True)


def test_no_steps_are_no_work():
    assert parts_of((), jars=6, places=9, load_min=35) == ()
