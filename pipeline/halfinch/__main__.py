"""`python -m halfinch` is the command `halfinch`."""

from halfinch.cli import main

if __name__ == "__main__":
    main()
