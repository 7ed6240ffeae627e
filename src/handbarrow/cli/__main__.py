"""`python -m handbarrow.cli` is the same as `handbarrow`."""

from handbarrow.cli.app import main

main()
