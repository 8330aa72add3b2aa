"""What the README promises is there."""

import re
from pathlib import Path

from django.core.management import get_commands

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_every_picture_is_there():
    named = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README)
    assert len(named) >= 4
    assert [name for name in named if not (ROOT / name).exists()] == []


def test_every_command_it_names_exists():
    block = README.split("## The four answers")[1]
    named = set(re.findall(r"manage\.py ([a-z_]+)", block))
    named |= set(
        re.findall(r"`([a-z]+_[a-z]+)`", block.split("Further:")[1].split(".")[0])
    )
    assert named >= {"plan_week", "cost_jar", "print_labels", "trace_batch"}
    assert named - set(get_commands()) == set()


def test_every_make_target_it_names_exists():
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    named = set(re.findall(r"(?:`|^    )make ([a-z]+)", README, re.MULTILINE))
    assert named >= {"demo", "test", "serve"}
    for target in named:
        assert re.search(rf"^{target}:", makefile, re.MULTILINE), target


def test_nothing_names_a_package_registry_or_a_path_of_one_machine():
    wrong = re.compile(r"pypi\.org|registry\.npmjs|files\.pythonhosted|/work/|/root/")
    for name in ("README.md", "DEVELOPERS.md", "Makefile", "requirements.lock", ".ci/requirements.lock", ".ci/run", "pyproject.toml"):  # fmt: skip
        assert not wrong.search((ROOT / name).read_text(encoding="utf-8")), name


def test_the_top_level_is_kept_clean():
    allowed = {
        "README.md", "DEVELOPERS.md", "manage.py", "pyproject.toml", "production",
        "labels", "inventory", "templates", "tests", "fixtures", "config", ".ci",
        "LICENSE", "Makefile", "requirements.lock", ".gitignore", ".git",
    }  # fmt: skip
    import subprocess

    tracked = subprocess.run(
        ["git", "ls-files"],  # noqa: S607
        cwd=ROOT, capture_output=True, text=True, check=False,
    ).stdout.split("\n")  # fmt: skip
    assert {name.split("/")[0] for name in tracked if name} <= allowed
