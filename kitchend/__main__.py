"""`python -m kitchend` is the same as `kitchend`."""

from kitchend.cli import main

if __name__ == "__main__":
    main()
