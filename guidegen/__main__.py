"""Where the program begins, as guidegen and as python -m guidegen."""

import sys

from guidegen.packs.workers import collect_seldom


def main() -> None:
    """Runs the command line: see `guidegen.cli.main`."""
    collect_seldom()  # before anything is loaded, which makes many objects and no rubbish
    try:
        from guidegen.cli import main as run
    except KeyboardInterrupt:  # nothing was begun
        sys.stderr.write("guidegen: interrupted\n")
        sys.exit(130)
    run()


if __name__ == "__main__":
    main()
