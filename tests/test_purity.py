"""Purity is the default: a module that is not a named Django room knows no Django."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
APPS = ["inventory", "production", "labels"]
RANK = {app: rank for rank, app in enumerate(APPS)}

# Rooms, in any app, that may know Django.
ROOMS = {
    "admin", "apps", "checks", "context_processors", "filters", "forms", "management",
    "middleware", "migrations", "models", "naming", "roles", "selectors", "static_files", "tables",
    "templatetags", "urls", "views",
}  # fmt: skip

# The action modules: only they write.
ACTIONS = {
    "inventory": {
        "backup", "calendar_feed", "consignment", "ledger", "markets", "purchasing",
        "stocktake",
    },
    "production": {
        "batches", "instrument_checks", "recipes", "plans", "complaints", "stop_sale", "recalls",
        "season_plans", "workbook",
    },
    "labels": {"beginning", "printing"},
}  # fmt: skip


# Small queries that stand beside the selectors, each named for its subject.
QUERIES = {
    "inventory": {"sales_tax"},
    "production": {"year_workbook"},
    "labels": {"place_state", "sales_caps"},
}


def room_of(module: str) -> str:
    return module.split(".")[1] if "." in module else ""


def is_pure(module: str) -> bool:
    app, room = module.split(".", maxsplit=1)[0], room_of(module)
    named = ROOMS | ACTIONS.get(app, set()) | QUERIES.get(app, set())
    return room not in named


def modules() -> list[tuple[str, Path]]:
    found = []
    for app in APPS:
        for path in sorted((ROOT / app).rglob("*.py")):
            name = ".".join(path.relative_to(ROOT).with_suffix("").parts)
            found.append((name.removesuffix(".__init__"), path))
    return found


def imports(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
    return found


PURE = [(name, path) for name, path in modules() if is_pure(name)]


@pytest.mark.parametrize(("name", "path"), PURE, ids=[name for name, _ in PURE])
def test_a_pure_module_knows_no_django(name: str, path: Path) -> None:
    known = {top.split(".")[0] for top in imports(path)}
    assert not known & {"django", "simple_history", "django_tables2", "config"}


@pytest.mark.parametrize(("name", "path"), PURE, ids=[name for name, _ in PURE])
def test_a_pure_module_imports_only_pure_modules(name: str, path: Path) -> None:
    names = {module for module, _ in modules()}
    ours = {other for other in imports(path) if other in names and other not in RANK}
    assert all(is_pure(other) for other in ours)
    assert all(
        RANK[other.split(".")[0]] <= RANK[name.split(".", maxsplit=1)[0]]
        for other in ours
    )
