"""`python -m layoutest` is the command."""

from layoutest.cli import main

main()
