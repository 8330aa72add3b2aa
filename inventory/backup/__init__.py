"""Backups: one file that holds the whole book, and the way back."""

from inventory.backup.archive import (
    BackupError,
    DamagedBackupError,
    Manifest,
    NewerBackupError,
    NotABackupError,
    read_manifest,
)
from inventory.backup.retention import kept
from inventory.backup.verbs import Restored, back_up, restore, tidy

__all__ = [
    "BackupError",
    "DamagedBackupError",
    "Manifest",
    "NewerBackupError",
    "NotABackupError",
    "Restored",
    "back_up",
    "kept",
    "read_manifest",
    "restore",
    "tidy",
]
