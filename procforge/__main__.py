"""`python -m procforge`."""

from procforge.cli import main

main()
