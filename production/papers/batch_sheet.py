"""The batch sheet: a paper to cook from and to write on, one sheet a cook day."""

from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.platypus import Flowable  # noqa: TID253 - imported with papers only

from inventory import paper
from inventory.paper import Column
from inventory.words import say
from production.papers import marks

__all__ = ["BatchSheet", "SheetDay", "SheetLine", "SheetStep", "draw"]

BLANKS_ABREAST = 4
LINE_MM = 42.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLine:
    """One ingredient to weigh.

    Attributes:
        cook: in the cook's own measures ("2 ½ cups crushed").
        weight: what is used of it, as text.
        name: the material.
        lots: lots it comes from, as text; empty before they are chosen.
        at_step: number of the step it goes in at.
        is_removed: taken out again before filling.
    """

    cook: str
    weight: str
    name: str
    lots: str
    at_step: int
    is_removed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetStep:
    """One step to do and tick.

    Attributes:
        number: of the step.
        text: what to do.
        caution: what can hurt here.
        times: hands-on, unattended and standing times as text.
    """

    number: int
    text: str
    caution: str
    times: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetDay:
    """What is done on one cook day.

    Attributes:
        number: first, second …
        on: the date as text.
        lines: ingredients weighed on this day.
        steps: in order.
        stand: how long what stands over to the next day stands; empty on the last.
        figures: name and value of what must be hit on this day.
        blanks: readings to write down on this day.
        cautions: what to mind on this day.
    """

    number: int
    on: str
    lines: tuple[SheetLine, ...]
    steps: tuple[SheetStep, ...]
    stand: str = ""
    figures: tuple[tuple[str, str], ...] = ()
    blanks: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchSheet:
    """Everything on the sheets of one batch.

    Attributes:
        recipe: its name.
        code: batch code; empty before cooking starts.
        under: version, share, product and cook, one line.
        days: one sheet each.
        footer: at the foot of every page.
        is_a4: A4 instead of US letter.
    """

    recipe: str
    code: str
    under: str
    days: tuple[SheetDay, ...]
    footer: str
    is_a4: bool = False


def draw(sheet: BatchSheet) -> bytes:
    """Return the batch sheet as a PDF file."""
    parts: list[Flowable] = []
    for day in sheet.days:
        if parts:
            parts.append(paper.turn_page())
        parts += _day(sheet, day)
    return paper.pdf(
        parts,
        name=say("Batch sheet {sheet}", sheet=sheet.code or sheet.recipe),
        footer=sheet.footer,
        page_size=paper.A4 if sheet.is_a4 else paper.LETTER,
    )


def _day(sheet: BatchSheet, day: SheetDay) -> list[Flowable]:
    many = len(sheet.days) > 1
    under = f"{day.on}. {sheet.under}"
    if many:
        under = say(
            "Day {day} of {days}, {under}",
            day=day.number,
            days=len(sheet.days),
            under=under,
        )
    parts: list[Flowable] = [marks.masthead(sheet.recipe, under, sheet.code)]
    if day.figures:
        parts.append(_figures(day.figures))
    if day.lines:
        parts.append(_lines(day.lines))
    parts.append(_steps(day.steps))
    parts += [
        paper.caution(words) for word in [" ".join(day.cautions)] if (words := word)
    ]
    if day.stand:
        parts.append(paper.text(day.stand))
    if day.blanks:
        parts.append(marks.blanks(day.blanks, abreast=BLANKS_ABREAST, width_mm=LINE_MM))
    return parts


def _figures(figures: Sequence[tuple[str, str]]) -> Flowable:
    return paper.table(
        [Column(heading=name) for name, _ in figures],
        [[paper.heading(value) for _, value in figures]],
    )


def _lines(lines: Sequence[SheetLine]) -> Flowable:
    return paper.table(
        [
            Column(heading=say("Weigh"), share=0.8, align="centre"),
            Column(heading=say("As the cook says"), share=2.2),
            Column(heading=say("Grams"), share=1.1, align="right"),
            Column(heading=say("Ingredient"), share=2.8),
            Column(heading=say("From lot"), share=2.4),
            Column(heading=say("At step"), share=0.8, align="right"),
        ],
        [
            [
                paper.check_box(),
                line.cook,
                line.weight,
                say("{line} (taken out again)", line=line.name)
                if line.is_removed
                else line.name,
                line.lots,
                str(line.at_step),
            ]
            for line in lines
        ],
    )


def _steps(steps: Sequence[SheetStep]) -> Flowable:
    return paper.table(
        [
            Column(heading=say("Step"), share=0.6, align="right"),
            Column(heading=say("What to do"), share=6),
            Column(heading=say("Time"), share=2.2),
            Column(heading=say("Begun"), share=0.8),
            Column(heading=say("Done"), share=0.7, align="centre"),
        ],
        [
            [
                str(step.number),
                say("{step}\nCaution: {caution}", step=step.text, caution=step.caution)
                if step.caution
                else step.text,
                step.times,
                "",
                paper.check_box(),
            ]
            for step in steps
        ],
    )
