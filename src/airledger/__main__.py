"""Lets `python -m airledger` do what the command `airledger` does."""

from airledger.cli.main import main

if __name__ == "__main__":
    main()
