"""`python -m boxup.cli`."""

from boxup.cli.main import main

main()
