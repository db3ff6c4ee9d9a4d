"""`python -m partingline`."""

from partingline.cli import main

main()
