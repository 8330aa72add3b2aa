"""Addresses of the books pages."""

from django.urls import URLPattern, path

from production.views import books, books_stocktake, books_year

urlpatterns: list[URLPattern] = [
    path("books/", books.books, name="books"),
    path("books/jars/<slug:code>/", books.jar_cost, name="jar-cost"),
    path("books/batches/<int:pk>/", books.batch_cost_page, name="batch-cost"),
    path("books/what-if/", books.what_if, name="books-what-if"),
    path("books/history/", books.history, name="books-history"),
    path("books/outlets/", books_year.outlets, name="books-outlets"),
    path("books/year/", books_year.year_page, name="books-this-year"),
    path("books/year/<int:year>/", books_year.year_page, name="books-year"),
    path(
        "books/year/<int:year>/choose/",
        books_year.year_choose,
        name="books-year-choose",
    ),
    path(
        "books/year/<int:year>/workbook/",
        books_year.year_workbook_download,
        name="books-workbook",
    ),
    path("books/stock/", books_year.stock_on_day, name="books-stock"),
    path("books/overheads/", books_year.overheads, name="overhead-list"),
    path("books/overheads/<int:pk>/", books_year.overhead_edit, name="overhead-edit"),
    path("books/expenses/", books_year.expenses, name="expense-list"),
    path("books/stocktake/", books_stocktake.stocktake, name="books-stocktake"),
    path(
        "books/stocktake/sheet/",
        books_stocktake.stocktake_sheet,
        name="books-stocktake-sheet",
    ),
]
