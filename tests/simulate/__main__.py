"""Invented books of any number of keepers: `python -m tests.simulate --keepers 100 --out club --seed 1`."""

from pathlib import Path

import click

from tests.simulate.keepers import write_keepers


@click.command()
@click.option("--keepers", type=click.IntRange(1), default=1, show_default=True, help="How many books.")
@click.option("--out", type=click.Path(path_type=Path), required=True, help="The folder they go into.")
@click.option("--seed", default=1, show_default=True, help="The same seed writes the same books.")
def main(keepers: int, out: Path, seed: int) -> None:
    """Write the books of a club of invented keepers."""
    written = sum(1 for _ in write_keepers(keepers, out, seed=seed))
    click.echo(f"{written} {'book' if written == 1 else 'books'} in {out}")


if __name__ == "__main__":
    main()
