"""Where the command `airledger` and `python -m airledger` start."""

from __future__ import annotations

import sys


def main() -> None:
    """Run a command; a stop while its modules are still being read ends it without a word."""
    try:
        from airledger.cli.main import main as command  # noqa: PLC0415  a stop while it is read is met here
    except KeyboardInterrupt:
        sys.exit(130)  # 128 + SIGINT, as a shell tells it
    command()


if __name__ == "__main__":
    main()
