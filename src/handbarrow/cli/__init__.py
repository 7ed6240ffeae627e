"""The command line: parse the request, call, show the answer."""

from handbarrow.cli.app import main

__all__ = ["main"]
