"""Lets ``python -m tesselath`` do what ``tesselath`` does."""

from tesselath.commands.cli import main

if __name__ == "__main__":
    main(prog_name="tesselath")
