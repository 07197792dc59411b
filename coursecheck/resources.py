"""Where the rulebooks and templates lie: the same way from a checkout and from an installed package."""

from __future__ import annotations

from pathlib import Path

__all__ = ["folder", "sample"]

PACKAGE = Path(__file__).resolve().parent


def folder(name: str) -> Path:
    """The folder `rules` or `reports`.

    A wheel carries both inside the package under `data/`; in a checkout they stand beside it.
    """
    installed = PACKAGE / "data" / name
    return installed if installed.is_dir() else PACKAGE.parent / name


def sample(name: str) -> Path:
    """The sample course of that name."""
    return PACKAGE / "samples" / f"{name}.course.toml"
