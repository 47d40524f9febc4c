"""`python -m pipeline`, the same command as `proveout`."""

from pipeline.cli import main

if __name__ == "__main__":
    main()
