"""Lets ``python -m tesselath`` do what ``tesselath`` does."""

from tesselath.commands import main

if __name__ == "__main__":
    main(prog_name="tesselath")
