"""python -m guidegen."""

from guidegen.cli import main

main()
