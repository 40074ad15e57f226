"""Entry point of ``python3 -m generator VERB``: sets up the packages, then calls cli.py."""

import os
import sys

from generator import bootstrap


def main() -> int:
    """The exit codes are listed in cli.py."""
    bootstrap.ensure("test" if sys.argv[1:2] == ["test"] else "build")
    from generator import cli

    try:
        code = cli.main(sys.argv[1:])
        sys.stdout.flush()
    except BrokenPipeError:  # the reader of our output has read enough, as `head` does
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    return code


if __name__ == "__main__":
    sys.exit(main())
