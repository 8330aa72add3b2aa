"""Settings of the test suite: quick passwords, a folder of its own, no lock-out."""

import os
import tempfile
from pathlib import Path

DATA = Path(tempfile.gettempdir()) / f"setting-point-tests-{os.getuid()}"
os.environ.setdefault("DATA_DIR", str(DATA))
os.environ.setdefault("SECRET_KEY", "only-for-tests-" + "x" * 50)
os.environ.pop("STATIC_ROOT", None)

from config.settings import *  # noqa: E402, F403

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
AXES_ENABLED = False
