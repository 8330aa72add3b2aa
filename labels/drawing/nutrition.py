"""Nutrition tables in their lawful forms: vertical, tabular, linear and per 100 g.

Sizes of the United States' forms: 21 CFR 101.9(d)(1), (2), (3) and (j)(13):
heading at least as large as any other print but the calorie figure; "Calories"
16 pt and its figure 22 pt (10 and 14 pt in the small forms); servings 10 pt
(9 pt); nutrients 8 pt with 4 pt between lines; heading, notes and "% Daily
Value" 6 pt; a box of hairlines. Other places' tables keep the size their label
text asks. We ship no slanted face: "Trans" stands upright.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from labels.drawing.glyphs import MM_PER_POINT
from labels.drawing.placed import Box, Item, PlacedBox, moved
from labels.drawing.table_writer import INDENT_MM, TableWriter
from labels.statements.label_text import NutritionPanel, NutritionRow, Run

__all__ = ["NutritionBlock", "NutritionForm"]

NAME = "nutrition"
PADDING_MM = 1.2
HAIRLINE_MM = 0.5 * MM_PER_POINT
BOX_LINE_MM = 0.5 * MM_PER_POINT
MEDIUM_BAR_MM = 3 * MM_PER_POINT
HEAVY_BAR_MM = 7 * MM_PER_POINT

NUTRIENT_PT = 8.0
NOTE_PT = 6.0


class NutritionForm(StrEnum):
    """How a table is drawn, from the largest to the smallest."""

    VERTICAL = "vertical"
    TABULAR = "tabular"
    LINEAR = "linear"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sizes:
    """Type sizes of one form, points."""

    title: float
    servings: float
    calories: float
    figure: float


FULL = _Sizes(title=17.0, servings=10.0, calories=16.0, figure=22.0)
SMALL = _Sizes(title=10.5, servings=9.0, calories=10.0, figure=14.0)


def _nutrient_long(writer: TableWriter, row: NutritionRow) -> float:
    """Return the least width of a nutrient's line, mm."""
    name = writer.long(row.label, NUTRIENT_PT, is_bold=row.bold)
    amount = writer.long(f" {row.amount}", NUTRIENT_PT) if row.amount else 0.0
    share = writer.long(f"  {row.percent}", NUTRIENT_PT, is_bold=True)
    return row.indent * INDENT_MM + name + amount + share


@dataclass(frozen=True, slots=True, kw_only=True)
class NutritionBlock:
    """A nutrition table as a block of a label.

    Attributes:
        panel: the table's words and figures.
        form: how it is drawn; tables of other places than the United States
            and Canada have one form beside the linear.
        size_pt: size of the text where the form itself fixes none.
        is_condensed: whether the narrow cut is used.
    """

    panel: NutritionPanel
    form: NutritionForm
    size_pt: float
    is_condensed: bool = False

    @property
    def name(self) -> str:
        """What a person calls it."""
        return NAME

    @property
    def is_facts_table(self) -> bool:
        """Whether it is of the North American kind, with a large calorie line."""
        return self.panel.form in {"us", "ca"}

    @property
    def narrowest_mm(self) -> float:
        """Least width it can stand in."""
        writer = TableWriter(name=NAME, width_mm=0, is_condensed=self.is_condensed)
        if self.form is NutritionForm.LINEAR:
            return 30.0
        if not self.is_facts_table:
            return self._plain_narrowest(writer)
        rows = (*self.panel.rows, *self.panel.vitamins)
        widest = max(_nutrient_long(writer, row) for row in rows)
        if self.form is NutritionForm.TABULAR:
            return self._left_part(writer) + 2 * widest + 8 * PADDING_MM
        title = writer.long(self.panel.title, FULL.title, is_bold=True)
        serving = writer.long(
            f"Serving size  {self.panel.serving_size}", 8.0, is_bold=True
        )
        return max(widest, title, serving) + 2 * PADDING_MM

    def _plain_narrowest(self, writer: TableWriter) -> float:
        size = max(self.size_pt, NOTE_PT)
        rows = [
            writer.long(f"{row.label}   {row.amount}  {row.percent}", size)
            + row.indent * INDENT_MM
            for row in self.panel.rows
        ]
        return max(rows) + 2 * PADDING_MM

    def height_mm(self, width_mm: float) -> float:
        """Height with its box."""
        return self._written(width_mm).down_mm + 2 * PADDING_MM

    def place(self, *, left_mm: float, top_mm: float, width_mm: float) -> list[Item]:
        """The box, then the table in it."""
        written = self._written(width_mm)
        box = Box(
            left_mm=left_mm,
            top_mm=top_mm,
            right_mm=left_mm + width_mm,
            bottom_mm=top_mm + written.down_mm + 2 * PADDING_MM,
        )
        inside = [
            moved(item, right_mm=left_mm + PADDING_MM, down_mm=top_mm + PADDING_MM)
            for item in written.items
        ]
        return [
            PlacedBox(box=box.shrunk(BOX_LINE_MM / 2), line_mm=BOX_LINE_MM),
            *inside,
        ]

    def _written(self, width_mm: float) -> TableWriter:
        writer = TableWriter(
            name=NAME,
            width_mm=width_mm - 2 * PADDING_MM,
            is_condensed=self.is_condensed,
        )
        if self.form is NutritionForm.LINEAR:
            self._linear(writer)
        elif not self.is_facts_table:
            self._plain_table(writer)
        elif self.form is NutritionForm.TABULAR:
            self._tabular(writer)
        else:
            self._vertical(writer)
        return writer

    def _vertical(self, writer: TableWriter) -> None:
        panel = self.panel
        longest = writer.long(panel.title, 1.0, is_bold=True)
        title_pt = min(28.0, max(FULL.title, writer.width_mm / longest))
        writer.write(panel.title, title_pt, at_mm=0, is_bold=True)
        writer.line_done(title_pt, leading_pt=0.5)
        writer.bar(HAIRLINE_MM)
        self._servings(writer, FULL)
        writer.bar(HEAVY_BAR_MM)
        self._calories(writer, FULL)
        writer.bar(MEDIUM_BAR_MM)
        self._nutrients(writer)
        for note in panel.footnotes:
            writer.paragraph([Run(text=note)], NOTE_PT)

    def _servings(self, writer: TableWriter, sizes: _Sizes) -> None:
        panel = self.panel
        if panel.servings:
            writer.write(panel.servings, sizes.servings, at_mm=0)
            writer.line_done(sizes.servings)
        label = "Serving size "
        whole = writer.long(
            f"{label} {panel.serving_size}", sizes.servings, is_bold=True
        )
        size = sizes.servings if whole <= writer.width_mm else 8.0
        writer.write(label, size, at_mm=0, is_bold=True)
        writer.write_right(panel.serving_size, size, is_bold=True)
        writer.line_done(size)

    def _calories(self, writer: TableWriter, sizes: _Sizes) -> None:
        writer.write("Amount per serving", NOTE_PT, at_mm=0, is_bold=True)
        writer.line_done(NOTE_PT)
        writer.write(
            "Calories", sizes.calories, at_mm=0, is_bold=True, beside_pt=sizes.figure
        )
        writer.write_right(self.panel.calories, sizes.figure, is_bold=True)
        writer.line_done(sizes.figure, leading_pt=0.0)

    def _nutrients(self, writer: TableWriter) -> None:
        if self.panel.percent_heading:
            writer.write_right(self.panel.percent_heading, NOTE_PT, is_bold=True)
            writer.line_done(NOTE_PT)
        for row in self.panel.rows:
            writer.bar(HAIRLINE_MM)
            writer.nutrient(row, NUTRIENT_PT)
            writer.line_done(NUTRIENT_PT, leading_pt=2.0)
        if self.panel.vitamins:
            writer.bar(HEAVY_BAR_MM)
            self._vitamins(writer)
        writer.bar(MEDIUM_BAR_MM if self.panel.vitamins else HAIRLINE_MM)

    def _vitamins(self, writer: TableWriter) -> None:
        for number, row in enumerate(self.panel.vitamins):
            if number:
                writer.bar(HAIRLINE_MM)
            writer.nutrient(row, NUTRIENT_PT, percent_is_bold=False)
            writer.line_done(NUTRIENT_PT, leading_pt=2.0)

    def _left_part(self, writer: TableWriter) -> float:
        """Width of the tabular form's first column, mm."""
        panel = self.panel
        return max(
            writer.long(panel.title, SMALL.title, is_bold=True),
            writer.long(panel.servings, SMALL.servings),
            writer.long(f"Serving size  {panel.serving_size}", 8.0, is_bold=True),
        )

    def _tabular(self, writer: TableWriter) -> None:
        """Heading, servings and calories left; nutrients in two columns right."""
        whole, first = writer.width_mm, self._left_part(writer)
        writer.width_mm = first
        writer.write(self.panel.title, SMALL.title, at_mm=0, is_bold=True)
        writer.line_done(SMALL.title)
        self._servings(writer, SMALL)
        self._calories(writer, SMALL)
        lowest = writer.down_mm
        rest = (whole - first - 2 * 3 * PADDING_MM) / 2
        half = -(-len(self.panel.rows) // 2)
        parts = (
            self.panel.rows[:half],
            (*self.panel.rows[half:], *self.panel.vitamins),
        )
        for number, rows in enumerate(parts):
            writer.left_mm = first + 3 * PADDING_MM + number * (rest + 3 * PADDING_MM)
            writer.width_mm, writer.down_mm = rest, 0.0
            self._tabular_column(writer, rows)
            lowest = max(lowest, writer.down_mm)
        writer.left_mm, writer.width_mm, writer.down_mm = 0.0, whole, lowest
        writer.bar(HAIRLINE_MM)
        for note in self.panel.footnotes:
            writer.paragraph([Run(text=note)], NOTE_PT)

    def _tabular_column(
        self, writer: TableWriter, rows: Sequence[NutritionRow]
    ) -> None:
        writer.write("Amount/serving", NOTE_PT, at_mm=0, is_bold=True)
        writer.write_right(self.panel.percent_heading, NOTE_PT, is_bold=True)
        writer.line_done(NOTE_PT)
        for row in rows:
            writer.bar(HAIRLINE_MM)
            writer.nutrient(row, NUTRIENT_PT)
            writer.line_done(NUTRIENT_PT, leading_pt=2.0)

    def _linear(self, writer: TableWriter) -> None:
        panel = self.panel
        if not self.is_facts_table:
            writer.paragraph([Run(text=panel.linear)], max(self.size_pt, NOTE_PT))
            return
        writer.paragraph([Run(text=panel.title, emphasis=True)], SMALL.title)
        servings = [
            Run(text=f"{panel.servings}, " if panel.servings else ""),
            Run(text=f"Serving size: {panel.serving_size}", emphasis=True),
        ]
        writer.paragraph([run for run in servings if run.text], SMALL.servings)
        tall = SMALL.figure
        at = writer.write("Amount per serving: ", NOTE_PT, at_mm=0, beside_pt=tall)
        at = writer.write(
            "Calories ", SMALL.calories, at_mm=at, is_bold=True, beside_pt=tall
        )
        writer.write(panel.calories, tall, at_mm=at, is_bold=True)
        writer.line_done(tall, leading_pt=0.0)
        writer.paragraph(_running(panel), NUTRIENT_PT)

    def _plain_table(self, writer: TableWriter) -> None:
        """Draw names left and figures right, as the EU and Australia print them."""
        panel, size = self.panel, max(self.size_pt, NOTE_PT)
        writer.write(panel.title, size, at_mm=0, is_bold=True)
        writer.line_done(size)
        for words in (panel.servings, panel.serving_size):
            if words and words not in panel.columns:
                writer.write(words, size, at_mm=0)
                writer.line_done(size)
        if panel.columns:
            writer.write_right("  ".join(panel.columns), size, is_bold=True)
            writer.line_done(size)
        for row in (*panel.rows, *panel.vitamins):
            writer.bar(HAIRLINE_MM, below_mm=0.4)
            writer.write(
                row.label, size, at_mm=row.indent * INDENT_MM, is_bold=row.bold
            )
            figures = "   ".join(part for part in (row.amount, row.percent) if part)
            writer.write_right(figures, size)
            writer.line_done(size)
        for note in panel.footnotes:
            writer.paragraph([Run(text=note)], size)


def _running(panel: NutritionPanel) -> list[Run]:
    """Return the nutrients as running text, main names heavier."""
    runs: list[Run] = []
    rows = (*panel.rows, *panel.vitamins)
    for number, row in enumerate(rows):
        share = f" ({row.percent} DV)" if row.percent else ""
        end = "." if number == len(rows) - 1 else ", "
        runs.append(Run(text=row.label, emphasis=row.bold))
        amount = f" {row.amount}" if row.amount else ""
        runs.append(Run(text=f"{amount}{share}{end}"))
    runs += [Run(text=f" {note}") for note in panel.footnotes]
    return runs
