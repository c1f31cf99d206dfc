"""The command line."""

from lubberline.cli.app import main

__all__ = ["main"]
