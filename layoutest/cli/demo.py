"""The verb `demo`: puts the demo layouts and the invented example price book where the user can edit them."""

from __future__ import annotations

from pathlib import Path

import click


@click.command("demo", epilog="Example: layoutest demo my-first-job")
@click.argument("folder", metavar="[DIR]", type=click.Path(path_type=Path), default="layoutest-demo")
def command(folder: Path) -> None:
    """Write the demo layouts and the invented example price book into DIR (layoutest-demo if none is given).

    Nothing is written if one of the files is there already.
    """
    import shlex

    from layoutest.tables.shipped import demo_folder

    written = write_demo(demo_folder(), folder)
    first = next(path for path in written if path.parent == folder)
    for path in written:
        click.echo(path)
    click.echo(f"Layouts and prices are invented. Next: layoutest estimate {shlex.quote(str(first))}")


def write_demo(source: Path, target: Path) -> tuple[Path, ...]:
    """Copy the layouts of a folder and its `prices/` into another, all or none; the paths written, layouts first.

    Raises:
        UsageError: a file is there already, or the folder cannot be written to.
    """
    from layoutest.errors import UsageError

    files = (*sorted(source.glob("*.layout.json")), *sorted(source.glob("prices/*")))
    names = [file.relative_to(source) for file in files if file.is_file()]
    there = [repr(str(target / name)) for name in names if (target / name).exists()]
    if there:
        raise UsageError(f"{', '.join(there)}: there already; nothing was written, choose another folder")
    try:
        _copy(source, target, names)
    except OSError as error:
        raise UsageError(f"{str(target)!r}: the demo cannot be written there: {error.strerror}") from error
    return tuple(target / name for name in names)


def _copy(source: Path, target: Path, names: list[Path]) -> None:
    import shutil
    import tempfile

    target.mkdir(parents=True, exist_ok=True)
    # First all into a folder of its own on the same disk, so that a full disk leaves no half demo behind.
    with tempfile.TemporaryDirectory(prefix=".demo-", dir=target) as place:
        for name in names:
            (Path(place) / name).parent.mkdir(exist_ok=True)
            shutil.copyfile(source / name, Path(place) / name)
        for name in names:
            (target / name).parent.mkdir(exist_ok=True)
            (Path(place) / name).rename(target / name)
