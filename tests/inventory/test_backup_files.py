import datetime
import json
import zipfile
from datetime import UTC, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.backup import archive
from inventory.backup.retention import kept

NOW = datetime.datetime(2026, 6, 10, 12, tzinfo=UTC)
MOMENTS = st.datetimes(
    datetime.datetime(2020, 1, 1),  # noqa: DTZ001 - the strategy gives the zone
    datetime.datetime(2027, 1, 1),  # noqa: DTZ001 - as above
    timezones=st.just(UTC),
)


def make_manifest(**overrides):
    values = {
        "made_at": NOW,
        "engine": "sqlite",
        "migrations": ("inventory.0001_initial",),
        "business": "Test Kitchen",
        "digests": {},
    }
    return archive.Manifest(**{**values, **overrides})


def make_archive(folder, **overrides):
    book = folder / "source"
    book.write_bytes(b"all the rows" * 1000)
    target = folder / "one.backup"
    archive.write_archive(
        target, manifest=make_manifest(**overrides), files=[("book.sqlite3", book)]
    )
    return target


def test_a_year_of_daily_backups_keeps_a_week_a_month_and_the_months():
    moments = [NOW - timedelta(days=number) for number in range(400)]
    chosen = kept(moments)
    assert set(moments[:7]) <= chosen
    assert len({m.isocalendar()[:2] for m in chosen}) >= 4
    assert len({(m.year, m.month) for m in chosen}) == 12
    assert len(chosen) <= 7 + 4 + 12


@given(st.lists(MOMENTS, min_size=1, max_size=60))
def test_the_newest_is_always_kept_and_nothing_is_invented(moments):
    chosen = kept(moments)
    assert max(moments) in chosen
    assert chosen <= set(moments)
    assert kept(chosen) == chosen


def test_a_backup_says_what_it_holds(tmp_path):
    manifest = archive.read_manifest(make_archive(tmp_path))
    assert manifest.business == "Test Kitchen"
    assert set(manifest.digests) == {"book.sqlite3"}


def test_unpacking_gives_back_the_same_bytes(tmp_path):
    path = make_archive(tmp_path)
    folder = tmp_path / "out"
    archive.extract(path, manifest=archive.read_manifest(path), folder=folder)
    assert (folder / "book.sqlite3").read_bytes() == b"all the rows" * 1000


def test_another_file_is_no_backup(tmp_path):
    path = tmp_path / "photo.jpg"
    path.write_bytes(b"not a zip")
    with pytest.raises(archive.NotABackupError, match=r"photo\.jpg is no backup"):
        archive.read_manifest(path)


def test_a_changed_byte_is_found(tmp_path):
    path = make_archive(tmp_path)
    manifest = archive.read_manifest(path)
    with zipfile.ZipFile(path, "w") as changed:
        changed.writestr("book.sqlite3", b"some of the rows")
        changed.writestr("manifest.json", manifest.as_json())
    with pytest.raises(archive.DamagedBackupError, match=r"book\.sqlite3"):
        archive.extract(path, manifest=manifest, folder=tmp_path / "out")


@pytest.mark.parametrize("share", [0.1, 0.5, 0.95])
def test_a_file_cut_short_is_refused(tmp_path, share):
    path = make_archive(tmp_path)
    whole = path.read_bytes()
    path.write_bytes(whole[: int(len(whole) * share)])
    with pytest.raises(archive.NotABackupError):
        archive.read_manifest(path)


def test_a_later_layout_is_refused(tmp_path):
    path = tmp_path / "later.backup"
    with zipfile.ZipFile(path, "w") as later:
        later.writestr("manifest.json", json.dumps({"format": 99}))
    with pytest.raises(archive.NewerBackupError, match="newer version"):
        archive.read_manifest(path)


def test_a_name_that_points_outside_is_refused(tmp_path):
    path = tmp_path / "sly.backup"
    sly = make_manifest(digests={"../outside": "0"})
    with zipfile.ZipFile(path, "w") as made:
        made.writestr("../outside", b"")
        made.writestr("manifest.json", sly.as_json())
    with pytest.raises(archive.DamagedBackupError):
        archive.extract(path, manifest=sly, folder=tmp_path / "out")
    assert not (tmp_path / "outside").exists()


def test_a_backup_that_fails_leaves_the_last_one(tmp_path):
    path = make_archive(tmp_path)
    before = path.read_bytes()
    with pytest.raises(FileNotFoundError):
        archive.write_archive(
            path, manifest=make_manifest(), files=[("x", tmp_path / "missing")]
        )
    assert path.read_bytes() == before
    assert not list(tmp_path.glob(".making-*"))
