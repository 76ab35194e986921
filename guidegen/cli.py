"""The command line: finds the command, runs it, and turns every failure into one plain message."""

from __future__ import annotations

import gc
import importlib
import os
import signal
import sys
import threading
from collections.abc import Sequence
from typing import NoReturn

import click

from guidegen import __version__
from guidegen.errors import GuidegenError
from guidegen.packs.workers import collect_seldom

# Command → the module that holds it as `command`; imported only when it is asked for.
COMMANDS = {
    "build": "guidegen.commands.build",
    "plan": "guidegen.commands.plan",
    "card": "guidegen.commands.card",
    "check": "guidegen.commands.check",
    "survey": "guidegen.commands.survey",
    "freeze": "guidegen.commands.freeze",
    "new": "guidegen.commands.new",
    "sheet": "guidegen.commands.sheet",
    "read": "guidegen.commands.read",
    "compare": "guidegen.commands.compare",
    "status": "guidegen.commands.status",
    "sequence": "guidegen.commands.sequence",
    "numbers": "guidegen.commands.numbers",
    "list": "guidegen.commands.list_",
    "schema": "guidegen.commands.schema",
}
USAGE, UNEXPECTED, INTERRUPTED = 2, 3, 130
_LAST_SECOND = 253_402_300_799  # of the year 9999


class LazyGroup(click.Group):
    """A group whose commands are imported one at a time."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        module = COMMANDS.get(cmd_name)
        if module is None:
            return None
        command: click.Command = importlib.import_module(module).command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            ctx.fail(_unknown(args[0]))
        return super().resolve_command(ctx, args)


def _unknown(word: str) -> str:
    from difflib import get_close_matches

    near = get_close_matches(word, COMMANDS, n=1)
    guess = f" Did you mean “{near[0]}”?" if near else f" There are: {', '.join(COMMANDS)}."
    return f"There is no command “{word}”.{guess}"


def _debug(ctx: click.Context, param: click.Parameter, value: bool) -> None:
    if value:  # the environment reaches the worker processes as well
        os.environ["GUIDEGEN_DEBUG"] = "1"


@click.group(
    cls=LazyGroup,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="""\b
Examples:
  guidegen check larch.yaml
  guidegen build larch.yaml -o print
  guidegen list layouts

Exit codes: 0 done; 1 errors found in a description; 2 a file cannot be read or written, or wrong use;
3 a fault of guidegen itself; 130 interrupted.""",
)
@click.version_option(__version__, prog_name="guidegen")
@click.option("--debug", is_flag=True, expose_value=False, callback=_debug, help="Show tracebacks.")
@click.pass_context
def root(ctx: click.Context) -> None:
    """Prints an owner's guide for a leisure vehicle from one description file."""
    if os.environ.get("NO_COLOR"):
        ctx.color = False
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    if epoch and not (epoch.isascii() and epoch.isdigit() and int(epoch) <= _LAST_SECOND):
        raise click.UsageError(
            f"SOURCE_DATE_EPOCH is “{epoch}”: "
            "it must be whole seconds since 1970, such as 1767225600, or not set at all"
        )


def main(arguments: Sequence[str] | None = None) -> None:
    """Runs the command line and leaves with its exit code (see README)."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):  # a name that the terminal cannot show must not stop the work
            stream.reconfigure(errors="replace")
    collect_seldom()
    _end_in_order()
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # or it looks through all that is installed
    _leave(run(arguments))


def _end_in_order() -> None:
    """Whoever ends the process, or closes its terminal, interrupts it: so nothing is left half written."""
    for name in ("SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is signal.SIG_DFL:
            signal.signal(number, signal.default_int_handler)


def _leave(code: int) -> NoReturn:
    """Ends the process at once, as the system frees its memory sooner than it would one record after another.

    In the usual way where threads are left, or text that nobody takes any more.
    """
    gc.freeze()  # what is left ends with the process and need not be looked through once more
    try:
        for stream in (sys.stdout, sys.stderr):
            if stream is not None:
                stream.flush()
    except (OSError, ValueError):  # its reader has gone, or it was closed
        sys.exit(code)
    if threading.active_count() > 1:
        sys.exit(code)
    os._exit(code)


def run(arguments: Sequence[str] | None = None) -> int:
    """The exit code of the command; what went wrong has been said on standard error."""
    try:
        code = root.main(args=arguments, prog_name="guidegen", standalone_mode=False)
        return code if isinstance(code, int) else 0
    except click.ClickException as error:
        error.show()
        return USAGE
    except (click.Abort, KeyboardInterrupt):
        click.echo("guidegen: interrupted; nothing was left half written", err=True)
        return INTERRUPTED
    except (BrokenPipeError, SystemExit):
        # The reader of our output has gone, as with `| head`; click ends the program then.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception as error:
        return _failed(error)


def _failed(error: Exception) -> int:
    from guidegen import messages

    if os.environ.get("GUIDEGEN_DEBUG"):
        import traceback

        traceback.print_exc()
    click.echo(messages.failure(error), err=True, color=False if os.environ.get("NO_COLOR") else None)
    if isinstance(error, GuidegenError):
        return error.exit_code
    return USAGE if isinstance(error, OSError) else UNEXPECTED
