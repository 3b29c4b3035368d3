"""Completion for bash, zsh and fish, and the manual page: all made from the description of the command line itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

_FILES = "'*:file:_files'"
SHELLS = ("bash", "zsh", "fish")


@dataclass(frozen=True)
class Argument:
    """One argument of a command: its flags, or none for a place; what it is called; what it does."""

    flags: tuple[str, ...]
    metavar: str
    help: str


@dataclass(frozen=True)
class Command:
    """A command as its ``--help`` tells it."""

    words: str
    arguments: Sequence[Argument]

    @property
    def flags(self) -> list[str]:
        """Every option, longest form."""
        return [a.flags[-1] for a in self.arguments if a.flags]


def completion(shell: str, commands: Mapping[str, Command], lists: Sequence[str]) -> str:
    """A script for a shell to read; ``lists`` are what ``list`` takes. Raises KeyError for a shell it does not know."""
    return {"bash": _bash, "zsh": _zsh, "fish": _fish}[shell](commands, lists)


def _bash(commands: Mapping[str, Command], lists: Sequence[str]) -> str:
    cases = "\n".join(
        f'    {name}) words="{" ".join([*command.flags, "--help", *(lists if name == "list" else ())])}" ;;'
        for name, command in commands.items()
    )
    return f"""\
# secure-load completion for bash: source <(secure-load completion bash)
_secure_load() {{
  local words here="${{COMP_WORDS[COMP_CWORD]}}"
  case "${{COMP_WORDS[1]}}" in
{cases}
    *) words="{" ".join(commands)} --help --version" ;;
  esac
  [ "$COMP_CWORD" = 1 ] && words="{" ".join(commands)} --help --version"
  COMPREPLY=($(compgen -W "$words" -- "$here") $(compgen -f -- "$here"))
}}
complete -o filenames -F _secure_load secure-load
"""


def _zsh(commands: Mapping[str, Command], lists: Sequence[str]) -> str:
    named = "\n".join(f"    '{name}:{_quoted(command.words)}'" for name, command in commands.items())
    rest = {"list": f"'*:list:({' '.join(lists)})'"}
    cases = "\n".join(
        f"    {name}) _arguments {' '.join(map(repr, command.flags))} {rest.get(name, _FILES)} ;;"
        for name, command in commands.items()
    )
    return f"""\
#compdef secure-load
# secure-load completion for zsh: secure-load completion zsh > a folder of $fpath, as _secure-load
_secure_load() {{
  local -a commands=(
{named}
  )
  if (( CURRENT == 2 )); then
    _describe command commands
    _files
    return
  fi
  case $words[2] in
{cases}
  esac
}}
compdef _secure_load secure-load
"""


def _fish(commands: Mapping[str, Command], lists: Sequence[str]) -> str:
    lines = ["# secure-load completion for fish: secure-load completion fish | source"]
    for name, command in commands.items():
        here = f'-n "__fish_seen_subcommand_from {name}"'
        lines.append(f"complete -c secure-load -n __fish_use_subcommand -a {name} -d '{_quoted(command.words)}'")
        for each in command.arguments:
            if each.flags:
                flag = each.flags[-1].removeprefix("--")
                lines.append(f"complete -c secure-load {here} -l {flag} -d '{_quoted(each.help)}'")
        if name == "list":
            lines.append(f"complete -c secure-load {here} -f -a '{' '.join(lists)}'")
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    return text.replace("'", "\u2019").replace(":", "\\:")


def manual(commands: Mapping[str, Command], version: str, about: str, keys: str, config: str) -> str:
    """The manual page, in the macros of man(7)."""
    lines = [
        f'.TH SECURE-LOAD 1 "" "secure-load {version}"',
        *(".SH NAME", f"secure-load \\- {_roff(about)}"),
        *(".SH SYNOPSIS", ".B secure-load", "[FILE]", ".br", ".B secure-load", "COMMAND ..."),
        *(".SH DESCRIPTION", _roff(about), "Without a command the screen is opened on FILE."),
        ".SH COMMANDS",
    ]
    for name, command in commands.items():
        places = " ".join(a.metavar for a in command.arguments if not a.flags)
        lines += [".TP", f".B {name} {_roff(places)}", _roff(command.words)]
        for each in command.arguments:
            if each.flags:
                value = f" {each.metavar}" if each.metavar else ""
                lines += [".RS", ".TP", f".B {_roff(', '.join(each.flags))}{_roff(value)}", _roff(each.help), ".RE"]
    lines += [".SH KEYS OF THE SCREEN", ".nf", *(_roff(line) for line in keys.splitlines()), ".fi"]
    lines += [".SH FILES", _roff(config)]
    lines += [".SH EXIT STATUS", "0 nothing red; 1 something red (amber too with \\-\\-strict); 2 bad input."]
    return "\n".join(lines) + "\n"


def _roff(text: str) -> str:
    plain = text.replace("\\", "\\e").replace("-", "\\-")
    return f"\\&{plain}" if plain.startswith((".", "'")) else plain
