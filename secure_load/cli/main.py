"""The commands.

Exit codes: 0 nothing red (or done), 1 something red, 2 bad input or not done, 130 stopped by the keyboard. A
fault in the program ends with 2, never with 1: a script must not take it for a verdict.

Whatever is heavy (numpy, rich, the form) is imported where it is used, so that ``--help`` comes at once.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import logging
import os
import sys
from collections.abc import Callable, Generator
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from secure_load.cli.io import CannotPrint, is_terminal, printing, put, ready_streams, safe, say
from secure_load.cli.shell import SHELLS, Argument, Command, completion, manual

if TYPE_CHECKING:
    from secure_load.boat.file import BoatDocument
    from secure_load.check.results import BoatVerdict, WeightVerdict

DONE, RED, BAD, STOPPED = 0, 1, 2, 130
COMMANDS = (
    *("check", "float", "place", "cast", "lift"),
    *("record", "compare", "inspect", "sheet", "export", "import", "list", "new", "demo", "completion", "manual"),
)
ABOUT = "Will the weights stowed in a small sailing boat stay put when she is knocked flat or rolled over?"
_BAR_AFTER_S = 0.4
"""Seconds of work before a progress bar is worth a person's eye."""


class Refused(Exception):
    """Something the person at the keyboard has to put right; the message is one sentence."""


class _Parser(argparse.ArgumentParser):
    def __init__(self, *args: Any, **words: Any) -> None:
        self.told: list[Argument] = []
        super().__init__(*args, **words)

    def add_argument(self, *flags: Any, **words: Any) -> argparse.Action:
        """Note what completion and the manual page say of it."""
        made = super().add_argument(*flags, **words)
        named = () if made.option_strings == [] else tuple(made.option_strings)
        takes = made.nargs != 0 or not named
        metavar = str(made.metavar or made.dest.upper()) if takes else ""
        self.told.append(Argument(named, metavar, str(made.help or "")))
        return made

    def error(self, message: str) -> NoReturn:
        """Raise, in place of printing and ending the program."""
        hint = "" if message.endswith("?") else f"; see '{self.prog} --help'"
        raise Refused(safe(message) + hint)


def run() -> NoReturn:
    """The console command."""
    # the engine shares its work out itself; over matrices as small as its own, BLAS's threads only wait for each other
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    sys.exit(main())


def main(argv: list[str] | None = None) -> int:
    """Run one command; the exit code. Writes to standard output and standard error only."""
    words = sys.argv[1:] if argv is None else list(argv)
    ready_streams()
    wants_json = "--json" in words
    with contextlib.ExitStack() as log:
        return _run(words, wants_json, log)


def _run(words: list[str], wants_json: bool, log: contextlib.ExitStack) -> int:
    try:
        if "--debug" in words:
            from secure_load.cli.log import log_to_file

            log.enter_context(log_to_file())
        return _command(words)
    except (Refused, CannotPrint) as problem:
        return _fail(str(problem), wants_json)
    except KeyboardInterrupt:
        say("stopped")
        return STOPPED
    except SystemExit as end:  # argparse after --help or --version
        return end.code if isinstance(end.code, int) else DONE
    except Exception as fault:
        logging.getLogger("secure_load").error("a fault in this program", exc_info=True)
        return _fail(_fault(fault), wants_json)


def _command(words: list[str]) -> int:
    first = next((w for w in words if not w.startswith("-")), None)
    if first not in COMMANDS:
        given = _form_parser().parse_args(_no_slip(words, first))
        return _open_form(Path(given.file) if given.file is not None else None)
    given = _parser().parse_args(words)
    work: Callable[[argparse.Namespace], int] = given.work
    return work(given)


def _no_slip(words: list[str], first: str | None) -> list[str]:
    """The words as they are, unless the first is a mistyped command."""
    if first is not None and not Path(first).suffix and os.sep not in first:
        import difflib

        near = difflib.get_close_matches(first, COMMANDS, n=1, cutoff=0.7)
        if near and not os.path.lexists(first):
            raise Refused(f"no command '{safe(first)}'; did you mean '{near[0]}'?")
    return words


_EPILOG = """\
commands:
  secure-load [FILE]                opens the screen
  secure-load check FILE            says what holds, what goes first, and which way
  secure-load float FILE            says how she floats, and how stiff she is
  secure-load place FILE            finds where the ballast goes
  secure-load cast FILE             makes the sheet for casting ingots
  secure-load lift FILE             makes the sheet for lifting them in
  secure-load record FILE           writes the stowage record
  secure-load compare FILE [N [M]]  says what changed since a record
  secure-load inspect FILE          lists what to inspect, and when
  secure-load sheet FILE            lists what to cut and buy
  secure-load export FILE --csv X   writes the weights as a table
  secure-load import FILE TABLE     takes weights in from a table
  secure-load list WHAT             shows the catalogue, each row with its source
  secure-load new FILE              creates a boat file from a commented example
  secure-load demo [NAME [FILE]]    writes a demo boat to a file of your own
  secure-load completion SHELL      prints completion for bash, zsh or fish
  secure-load manual                prints the manual page
  'secure-load COMMAND --help' says more.

exit codes of check: 0 nothing red, 1 something red (amber too with --strict),
2 bad input.
"""


def _form_parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="secure-load",
        usage="secure-load [FILE]\n       secure-load COMMAND ...",
        description=ABOUT,
        epilog=_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("file", nargs="?", metavar="FILE", help="boat file to open on the screen")
    parser.add_argument("--debug", action="store_true", help="write tracebacks of errors to a log file and name it")
    parser.add_argument("--version", action=_Version, nargs=0, help="show the program's version and exit")
    return parser


class _Version(argparse.Action):
    def __call__(self, *_: Any) -> None:
        from secure_load.record.version import program_version

        print(program_version())
        raise SystemExit(DONE)


def _parser() -> argparse.ArgumentParser:
    return _parsers()[0]


def _parsers() -> tuple[argparse.ArgumentParser, dict[str, Command]]:
    """The parser of the commands, and each as it is told."""
    told: dict[str, tuple[str, _Parser]] = {}
    parser = _Parser(prog="secure-load", allow_abbrev=False)
    commands = parser.add_subparsers(required=True, metavar="COMMAND")

    def add(name: str, work: Callable[[argparse.Namespace], int], words: str) -> argparse.ArgumentParser:
        made: _Parser = commands.add_parser(name, help=words, description=words, allow_abbrev=False)
        made.set_defaults(work=work)
        told[name] = words, made
        made.add_argument("--debug", action="store_true", help="write tracebacks of errors to a log file and name it")
        return made

    check = add("check", _check, "Says of every weight whether it holds, what goes first, and which way it would move.")
    check.add_argument("file", metavar="FILE", help="boat file")
    check.add_argument(
        "--scenario",
        action="append",
        metavar="ID",
        help="run only this scenario (may be given more than once); 'secure-load list scenarios' names them",
    )
    check.add_argument("--strict", action="store_true", help="exit with 1 for amber too")
    check.add_argument("--mend", action="store_true", help="say what would mend each weight; takes some seconds")
    check.add_argument("--why", nargs="*", metavar="ID", help="every figure and source of these weights; of all: --why")
    check.add_argument("--all", action="store_true", help="print everything: all figures of all weights and scenarios")
    check.add_argument("--json", action="store_true", help="print one JSON object and nothing else")
    from secure_load.cli.float_commands import add_float_commands
    from secure_load.cli.paper_commands import add_paper_commands

    add_float_commands(add)
    add_paper_commands(add)
    listing = add("list", _list, "Shows the scenarios or a part of the catalogue, each row with its source.")
    listing.add_argument("what", type=_listed, metavar="WHAT", help=", ".join(_lists()))
    listing.add_argument("--json", action="store_true", help="print the rows as JSON")
    new = add("new", _new, "Creates a boat file from a commented example.")
    new.add_argument("file", metavar="FILE", help="file to create (never overwritten)")
    demo = add("demo", _demo, "Lists the demo boats, or writes one to a file of your own.")
    demo.add_argument("name", nargs="?", metavar="NAME", help="demo boat to write; without it they are listed")
    demo.add_argument("file", nargs="?", metavar="FILE", help="file to create, never overwritten; NAME.toml here")
    shells = add("completion", _completion, "Prints completion for a shell.")
    shells.add_argument("shell", choices=SHELLS, metavar="SHELL", help=", ".join(SHELLS))
    add("manual", _manual, "Prints the manual page, for 'man -l -'.")
    return parser, {name: Command(words, made.told) for name, (words, made) in told.items()}


def _completion(given: argparse.Namespace) -> int:
    put(completion(given.shell, _parsers()[1], _lists()), utf8=True)
    return DONE


def _manual(given: argparse.Namespace) -> int:
    from secure_load.cli.config import config_file
    from secure_load.record.version import program_version
    from secure_load.screen.app.help import keys_text

    settings = f"{config_file()}: settings theme, glyphs, start and by (who writes the records)."
    put(manual(_parsers()[1], program_version(), ABOUT, keys_text(), settings), utf8=True)
    return DONE


def _lists() -> tuple[str, ...]:
    """What can be listed; the catalogue is not loaded before the first picture of the screen."""
    from secure_load.catalogue import LISTINGS

    return ("scenarios", *LISTINGS)


def _listed(word: str) -> str:
    """One of the lists, for argparse."""
    lists = _lists()
    if word in lists:
        return word
    import difflib

    near = difflib.get_close_matches(word, lists, n=1)
    hint = f"did you mean '{near[0]}'?" if near else f"there are {', '.join(lists)}"
    raise argparse.ArgumentTypeError(f"no list '{safe(word)}'; {hint}")


def _open_form(path: Path | None) -> int:
    if not (is_terminal(sys.stdin) and is_terminal(sys.stdout)):
        raise Refused("the screen needs a terminal; 'secure-load check FILE' prints what it would show")
    if path is not None and not path.is_file():
        read(path)  # says why not
    import gc

    # Loading makes some hundred thousand objects that all stay: looking through them for waste, again and again, is a
    # tenth of the wait. The screen turns it on again once it has them.
    gc.disable()
    from secure_load.screen.app.app import CannotOpen, run_app

    try:
        return run_app(path)
    except CannotOpen as problem:  # a file with a slip in it is better mended where its line is named
        raise Refused(str(problem)) from problem


def _check(given: argparse.Namespace) -> int:
    from secure_load.cli.check_command import verdict_of

    document = read(given.file)
    verdict = verdict_of(document, given.scenario)
    if given.mend:
        from secure_load.check.context import make_context
        from secure_load.remedies import with_remedies

        with progress_bar() as progress:
            verdict = with_remedies(verdict, make_context(document.boat, given.scenario), progress)
    bad = verdict.verdict == "red" or (given.strict and verdict.verdict == "amber")
    if given.json:
        put(verdict.model_dump_json(indent=2) + "\n", utf8=True)
    else:
        from secure_load.cli.check_summary import print_summary
        from secure_load.cli.console import console_for
        from secure_load.cli.verdict_table import print_check, print_weights

        chosen = None if given.why is None else _chosen(given.why, verdict, document)
        with printing():
            console = console_for(sys.stdout)
            if given.all:
                print_check(console, verdict, document.path.name)
            elif chosen is not None:
                print_weights(console, verdict, chosen)
            else:
                print_summary(console, verdict, document.path.name)
    return RED if bad else DONE


def _chosen(ids: list[str], verdict: BoatVerdict, document: BoatDocument) -> list[WeightVerdict]:
    """The weights of these ids, or all. Raises Refused for an id that is nowhere."""
    import difflib

    known = {w.id: w for w in verdict.weights}
    for each in ids:
        if each not in known:
            near = difflib.get_close_matches(each, known, n=1)
            hint = f"; did you mean '{safe(near[0])}'?" if near else ""
            raise Refused(f"{safe(document.path.name)}: there is no weight '{safe(each)}'{hint}")
    return [known[each] for each in ids] or verdict.weights


def _list(given: argparse.Namespace) -> int:
    if given.what == "scenarios":
        from secure_load.loads.scenarios import builtin_scenarios

        scenarios = builtin_scenarios()
        if given.json:
            put_json({"scenarios": [s.model_dump(mode="json", by_alias=True, exclude_none=True) for s in scenarios]})
            return DONE
        from secure_load.cli.catalogue_table import print_scenarios
        from secure_load.cli.console import console_for

        with printing():
            print_scenarios(console_for(sys.stdout), scenarios)
        return DONE
    from secure_load.catalogue.listing import tables_for_listing

    rows = tables_for_listing(given.what)
    if given.json:
        put_json({given.what: rows})
        return DONE
    from secure_load.cli.catalogue_table import print_listing
    from secure_load.cli.console import console_for

    with printing():
        print_listing(console_for(sys.stdout), rows)
    return DONE


def _new(given: argparse.Namespace) -> int:
    from secure_load.boat.file import BoatFileError
    from secure_load.boat.save import create_new

    try:
        create_new(given.file)
    except BoatFileError as problem:
        raise Refused(problem.message) from problem
    shown = safe(given.file)
    put(f"started {shown}: put your own figures in place of the example's, then 'secure-load check {shown}'\n")
    return DONE


def _demo(given: argparse.Namespace) -> int:
    import difflib

    from secure_load.boat.demo import copy_demo, demo_boats, demo_summary
    from secure_load.boat.file import BoatFileError

    known = {path.stem: path for path in demo_boats()}
    if given.name is None:
        put("".join(f"{name:<14}{demo_summary(path)}\n" for name, path in known.items()))
        return DONE
    if given.name not in known:
        near = difflib.get_close_matches(given.name, known, n=1)
        hint = f"did you mean '{near[0]}'?" if near else f"there are {', '.join(known)}"
        raise Refused(f"no demo boat '{safe(given.name)}'; {hint}")
    file = given.file or f"{given.name}.toml"
    try:
        copy_demo(known[given.name], file)
    except BoatFileError as problem:
        raise Refused(problem.message) from problem
    put(f"wrote {safe(file)}; look at it with 'secure-load {safe(file)}'\n")
    return DONE


def read(path: str | Path) -> BoatDocument:
    """A boat file. Raises Refused, with how to start one where there is none."""
    from secure_load.boat.file import BoatFileError, read_document

    try:
        return read_document(path)
    except BoatFileError as problem:
        hint = "" if os.path.lexists(path) else f"; 'secure-load new {safe(str(path))}' starts one"
        raise Refused(problem.message + hint) from problem


@contextlib.contextmanager
def progress_bar() -> Generator[Callable[[int, int, str], None] | None]:
    """A bar on standard error once the work has taken a while; none where nobody is looking."""
    if not is_terminal(sys.stderr):
        yield None
        return
    import time

    began = time.monotonic()
    with contextlib.ExitStack() as stack:
        bar: Any = None
        task: Any = None

        def show(done: int, whole: int, name: str) -> None:
            nonlocal bar, task
            if bar is None:
                if time.monotonic() - began < _BAR_AFTER_S or done >= whole:
                    return
                from secure_load.cli.progress import bar_on

                bar, task = stack.enter_context(bar_on(sys.stderr, whole))
            bar.update(task, completed=done, what=safe(name))

        yield show


def _fault(fault: Exception) -> str:
    at = fault.__traceback__
    while at is not None and at.tb_next is not None:
        at = at.tb_next
    place = f" at {Path(at.tb_frame.f_code.co_filename).name}:{at.tb_lineno}" if at is not None else ""
    words = safe(f"{type(fault).__name__}: {fault}")
    return f"a fault in this program, not in your file: {words[:300]}{place}"


def _fail(message: str, wants_json: bool) -> int:
    say(f"secure-load: {message}")
    if wants_json:
        with contextlib.suppress(CannotPrint):
            put_json({"error": message})
    return BAD


def put_json(data: dict[str, Any]) -> None:
    """One JSON object on standard output."""
    put(json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n", utf8=True)
