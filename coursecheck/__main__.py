"""`python -m coursecheck`."""

from coursecheck.cli import main

main()
