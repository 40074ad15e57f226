"""Python3 -m generator VERB: receives the command line, sets up packages, hands on to cli.py."""

import sys

from generator import bootstrap


def main() -> int:
    """The exit codes are listed in cli.py."""
    bootstrap.ensure("test" if sys.argv[1:2] == ["test"] else "build")
    from generator import cli

    return cli.main(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
