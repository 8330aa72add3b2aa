"""Files taken from other projects are exactly those the manifest names."""

import hashlib
import tomllib
from pathlib import Path

import pytest

SITE = Path(__file__).parents[1] / "inventory" / "static" / "site"
PACKAGES = tomllib.loads((SITE / "vendored.toml").read_text("utf-8"))["package"]
FILES = {name: digest for each in PACKAGES for name, digest in each["files"].items()}
OUR_OWN = {"fonts/faces.css"}


@pytest.mark.parametrize("name", sorted(FILES))
def test_vendored_file_is_unchanged(name):
    assert hashlib.sha256((SITE / name).read_bytes()).hexdigest() == FILES[name]


@pytest.mark.parametrize("package", PACKAGES, ids=lambda package: package["name"])
def test_package_names_version_origin_and_ships_its_licence(package):
    assert package["version"]
    assert package["licence"] in {"OFL-1.1", "MIT", "ISC"}
    assert package["origin"]
    assert (SITE / package["licence_file"]).stat().st_size > 500


def test_every_file_of_the_vendor_folders_is_listed():
    found = {
        str(path.relative_to(SITE))
        for folder in ("fonts", "vendor")
        for path in (SITE / folder).rglob("*")
        if path.is_file()
    }
    assert found - OUR_OWN == set(FILES)


@pytest.mark.parametrize("name", ["vendor/pico.classless.min.css", "vendor/idb.umd.js"])
def test_no_map_is_referred_to(name):
    # A static file store with hashed names stops at a map that is not there.
    assert "sourceMappingURL" not in (SITE / name).read_text("utf-8")


def test_every_face_of_the_style_sheet_exists():
    style = (SITE / "fonts" / "faces.css").read_text("utf-8")
    named = {part.split('"')[0] for part in style.split('url("')[1:]}
    assert named == {path.name for path in (SITE / "fonts").glob("*.woff2")}
