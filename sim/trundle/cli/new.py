"""`trundle new`: a vehicle file of your own to start from."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import click
import tomlkit

from trundle.errors import InputError, Problem, plain
from trundle.spec.reader import read_text
from trundle.spec.shipped import find, names
from trundle.spec.vehicle import load_vehicle


@click.command()
@click.argument("name")
@click.option("--like", default="teasel", show_default=True, metavar="VEHICLE", help="The vehicle to copy.")
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE", help="The new file [NAME.toml].")
def new(name: str, like: str, out: Path | None) -> None:
    """Write a vehicle file called NAME, a copy of one that comes with Trundle, to change to your own.

    No existing file is written over.
    """
    source = find("vehicles", like)
    load_vehicle(source)  # a copy of what cannot be used is of no use
    try:
        load_vehicle(source, {"name": name})
    except InputError as e:
        raise e.told_as(replace(p, field="NAME", file="", line=0) for p in e.problems) from None
    document = tomlkit.parse(read_text(source))
    document["name"] = name
    document["note"] = f"Begun as a copy of {plain(source.stem)}."
    target = out if out is not None else Path("-".join(name.lower().split()).replace(os.sep, "-") + ".toml")
    text = tomlkit.dumps(document).encode()
    try:
        with target.open("xb") as f:
            try:
                f.write(text)
                f.flush()
            except OSError:
                target.unlink()
                raise
    except FileExistsError:
        raise InputError(Problem("is there already; name another with --out", file=str(target))) from None
    except OSError as e:
        raise InputError(Problem(f"cannot be written: {e.strerror or e}", file=str(target))) from None
    click.echo(f"Wrote {target}, a copy of {source.stem}. Measure your hull and change it, then")
    click.echo(f"  trundle sheet {target}")
    click.echo(f"  trundle run {target} kerb-100")
    click.echo(f"Others to start from: {', '.join(names('vehicles'))}")
