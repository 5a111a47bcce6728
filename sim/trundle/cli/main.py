"""The command `trundle`: finds the subcommand, and turns every failure into one message and an exit code.

0 done; 1 a check or baseline failed; 2 the input is wrong; 3 the run ended early; 130 stopped by Ctrl-C; 70 a fault of
Trundle's own.
"""

from __future__ import annotations

import atexit
import gc
import os
import sys
from importlib import import_module
from pathlib import Path

import click

from trundle import __version__
from trundle.cli import streams
from trundle.cli.said_once import said_once
from trundle.cli.stopping import STOPPED, StoppedError
from trundle.errors import TrundleError, decimal_comma, did_you_mean

DONE, CHECK_FAILED, WRONG_INPUT, ENDED_EARLY, OWN_FAULT = 0, 1, 2, 3, 70

_COMMANDS = {
    "run": "Roll VEHICLE over COURSE: does it get over, how hard is it hit, does the belly touch.",
    "watch": "See it move, live or kept; pictures and movies of it.",
    "fits": "Can every part of VEHICLE be made, bought and put together, and does it clear as it swings.",
    "sheet": "How VEHICLE stands, what its steel bears, what to cut, drill and bend.",
    "buy": "What to buy for VEHICLE and how to saw it: bars, plate, bolts, ready parts; what it weighs.",
    "leaf": "Bend a leaf in your press, rip a wide one, test what steel it is of.",
    "turn": "What it takes to turn VEHICLE, and whether motor, grip and its parts can do it.",
    "tip": "On which slopes VEHICLE tips over, slides, or is held by its brake.",
    "compare": "Run VEHICLE over every COURSE with fields varied, and rank the variants.",
    "mend": "What to change about the worst finding of VEHICLE over COURSE.",
    "limits": "The highest kerb, widest ditch and steepest ramp that VEHICLE manages, and why no more.",
    "gearing": "Which gear ratio suits VEHICLE's motor over COURSE: heat, speed, slopes, battery.",
    "baseline": "Guard vehicles and courses against getting worse.",
    "series": "A kept run's time series as CSV or as a spreadsheet.",
    "explain": "What a field of a file is, how it is measured, where it is on the part; any word of the trade will do.",
    "draw": "Draw VEHICLE to scale with every dimension of its file, also one that is refused.",
    "pack": "Drawings of VEHICLE to build from, as a stack of prints.",
    "course": "Draw COURSE and list its obstacles.",
    "new": "A vehicle of your own: asks what you build and have, and proposes a first design.",
}
"""Each command, in the order in which a builder meets them, and what it is for.

A command is the function of its name in the module of its name, loaded only when it is called: --help would otherwise
load every library that any of them needs.
"""


def _compiling(done: int, going: bool) -> None:
    from trundle.cli.waiting import compiling

    compiling(done, going)


def _news_of_compiling(what: str, where: str) -> None:
    from trundle.cli.waiting import compiling

    compiling.news(what, where)


class Commands(click.Group):
    """Subcommands loaded on demand."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in _COMMANDS:
            return None
        from trundle.law.compile import load_only_what_kernels_use, tell_of_compiling

        load_only_what_kernels_use()
        tell_of_compiling(_compiling, _news_of_compiling)
        command: click.Command = getattr(import_module(f"trundle.cli.{cmd_name}"), cmd_name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(_COMMANDS.items()))

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in _COMMANDS and not args[0].startswith("-"):
            near = did_you_mean(args[0], _COMMANDS)
            raise click.UsageError(f'no command "{args[0]}"{near} (there are: {", ".join(_COMMANDS)})')
        return super().resolve_command(ctx, args)


@click.command(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="trundle")
def trundle() -> None:
    """Rolls a small tracked hull over a virtual course before any steel is cut.

    \b
    trundle run teasel kerb-100       does it get over, and how hard is it hit
    trundle sheet teasel              how it stands, what its steel bears, what to cut
    trundle watch teasel kerb-100     see it move
    trundle pack teasel               drawings and lists to build it from

    VEHICLE and COURSE are files, or names of the ones that come with Trundle.
    A planar estimate for a workshop, not a certificate: test at walking pace, with guards and a kill switch.
    """


def main(args: list[str] | None = None) -> None:
    """Entry point. Never shows a traceback; exits with the codes above."""
    # Importing half a dozen large libraries makes a million objects and no garbage; looking for it every 700
    # of them costs a tenth of a short command.
    gc.set_threshold(200_000, 20, 20)
    # Nor is there any use in looking for it once more as the process ends: that takes a quarter of a short command.
    atexit.register(gc.freeze)
    try:
        streams.make_usable()
        status = _status_of(args)
    except KeyboardInterrupt:  # while a message was being written
        status = STOPPED
    streams.let_go()
    sys.exit(status)


def _status_of(args: list[str] | None) -> int:
    """Runs the command, says what went wrong, and gives the exit code."""
    status: int
    try:
        with said_once():
            code = trundle.main(args=args, standalone_mode=False)
        sys.stdout.flush()
        status = code if isinstance(code, int) else DONE
    except TrundleError as e:
        from trundle.cli.options import as_typed

        click.echo(as_typed(e), err=True)
        status = e.exit_code
    except SystemExit as e:
        code = DONE if e.code is None or _reader_left(e) else e.code
        status = code if isinstance(code, int) else OWN_FAULT
    except click.exceptions.Exit as e:
        status = e.exit_code
    except click.UsageError as e:
        where = e.ctx.command_path if e.ctx else "trundle"
        said = e.format_message()
        if any(decimal_comma(word) for word in said.split("'")):
            said += " Numbers have a decimal point."
        click.echo(f"{where}: {said} (see {where} --help)", err=True)
        status = WRONG_INPUT
    except click.ClickException as e:
        click.echo(f"trundle: {e.format_message()}", err=True)
        status = WRONG_INPUT
    except StoppedError as e:
        click.echo(f"\nstopped: {e}", err=True)
        status = STOPPED
    except click.Abort as e:
        # Click takes the end of a damaged file that some library reads for the end of what is typed.
        status = _own_fault(e.__cause__) if isinstance(e.__cause__, EOFError) else _stopped()
    except KeyboardInterrupt:
        status = _stopped()
    except BrokenPipeError:
        # The reader of our output went away (| head): nothing to report, and nobody to report it to.
        status = DONE
    except MemoryError:
        click.echo(
            "trundle: not enough memory for this; a shorter course, a longer step or fewer --workers need less",
            err=True,
        )
        status = WRONG_INPUT
    except OSError as e:
        name = f"{e.filename}: " if e.filename else ""
        click.echo(f"trundle: {name}{e.strerror or e}", err=True)
        status = WRONG_INPUT
    except Exception as e:
        if isinstance(e, ImportError) and "failed to map" in str(e):  # the loader's words for too little memory
            click.echo("trundle: not enough memory to load the libraries: is a limit set?", err=True)
            status = WRONG_INPUT
        else:
            status = _own_fault(e)
    return status


def _stopped() -> int:
    """Of a command that has nothing to keep."""
    click.echo("\nstopped", err=True)
    return STOPPED


def _own_fault(error: BaseException) -> int:
    """Says that the program is at fault, and where its traceback is."""
    click.echo(
        f"trundle: this is a fault of Trundle's own ({type(error).__name__}: {error}); "
        f"please report it with {_keep_traceback(error)}",
        err=True,
    )
    return OWN_FAULT


def _reader_left(e: SystemExit) -> bool:
    """True if click or rich leave because nobody reads our output any more (| head): no failure of ours.

    Click puts its wrapper in the place of stdout; rich leaves while it handles the broken pipe.
    """
    wrapped = type(sys.stdout).__name__ == "_PacifyFlushWrapper"
    return e.code == 1 and (wrapped or isinstance(e.__context__, BrokenPipeError))


def _keep_traceback(error: BaseException) -> str:
    """Write the traceback where a report can include it; returns the file's name."""
    import tempfile
    import traceback

    if os.environ.get("TRUNDLE_DEBUG"):
        traceback.print_exception(error)
    try:
        with tempfile.NamedTemporaryFile(
            "w", prefix="trundle-fault-", suffix=".txt", delete=False, encoding="utf-8", errors="replace"
        ) as f:
            f.writelines(traceback.format_exception(error))
        return str(Path(f.name))
    except OSError:
        return "the command that you gave"


if __name__ == "__main__":
    main()
