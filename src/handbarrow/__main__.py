"""`python -m handbarrow` is the same as `handbarrow`."""

from handbarrow.cli import main

main()
