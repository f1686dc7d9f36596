"""`python -m boxup`."""

from boxup.cli.main import main

main()
