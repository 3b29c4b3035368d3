"""Writing changes into the text of a boat file while leaving the owner's own words where they are.

The text is taken apart at its table headings. A table that did not change is put back letter for letter; in
one that did, only the keys that changed are rewritten (by tomlkit, which keeps the comments behind them).
Comment lines right above a heading belong to it, and go where it goes. Tables are moved as pieces of text,
because a tree of parsed tables has no notion of which comment stands over which heading.

The result is not trusted: ``save`` reads it back and compares it before anything is written to disk.
"""

from __future__ import annotations

import re
from collections.abc import Callable, MutableMapping, Sequence
from dataclasses import dataclass, field
from typing import Any, cast

import tomlkit
from tomlkit import items as kit
from tomlkit.container import Container

from .models import BoatFile, Finding, HeelRange, Part
from .render import Block, block_of, left_out, plain_value
from .scan import Path, statements

_NOTHING = object()
_BLANK = re.compile(r"[ \t]*\r?\n")


class CannotMerge(Exception):
    """The text is laid out in a way this module does not handle."""


@dataclass
class Node:
    """One heading with its text, and the headings under it that follow it in the file."""

    path: Path
    lead: str = ""
    """Empty lines and comments that belong to the heading."""
    head: str = ""
    body: str = ""
    """Its keys, with the comments among and behind them."""
    tail: str = ""
    """Comments and empty lines after its last key that belong to no heading."""
    under: list[Node] = field(default_factory=list["Node"])
    above: Node | None = None

    def text(self) -> str:
        """The node and all under it."""
        return self.lead + self.head + self.body + self.tail + "".join(n.text() for n in self.under)

    def last(self) -> Node:
        """The node whose text ends this one's."""
        return self.under[-1].last() if self.under else self

    def add(self, node: Node, at: int | None = None) -> None:
        """Put ``node`` under this one."""
        node.above = self
        self.under.insert(len(self.under) if at is None else at, node)


def merge_text(text: str, old: BoatFile, new: BoatFile) -> str:
    """``text``, which says ``old``, changed to say ``new``. Line ends must be plain ``\\n``."""
    if not text.endswith("\n"):
        text += "\n"
    root, nodes = _take_apart(text)
    _Merge(nodes, root).block(root, old, new)
    return root.text()


def _take_apart(text: str) -> tuple[Node, dict[Path, Node]]:
    found = statements(text)
    root = Node(())
    nodes: dict[Path, Node] = {(): root}
    node, start = root, 0  # where the text of this node's body begins
    last_end = 0  # end of the last line that held a statement
    latest = root
    for each in found:
        line_start = text.rfind("\n", 0, each.start) + 1
        line_end = text.find("\n", each.end) + 1
        if each.kind != "key":
            cut = _lead_start(text, last_end, line_start)
            body_end = max(start, last_end)
            node.body, node.tail = text[start:body_end], text[body_end:cut]
            node = Node(each.path, text[cut:line_start], text[line_start:line_end])
            if each.path in nodes:
                raise CannotMerge
            nodes[each.path] = node
            while latest.above is not None and latest.path != each.path[: len(latest.path)]:
                latest = latest.above
            latest.add(node)
            latest = node
            start = line_end
        last_end = line_end
    body_end = max(start, last_end)
    node.body, node.tail = text[start:body_end], text[body_end:]
    return root, nodes


def _lead_start(text: str, gap_start: int, heading: int) -> int:
    """Where the lines that belong to a heading begin, between the last statement and the heading."""
    lines = text[gap_start:heading].splitlines(keepends=True)
    n = len(lines)
    while n and lines[n - 1].lstrip().startswith("#"):
        n -= 1
    if n == 0 and gap_start == 0:
        return heading  # comments at the very top are about the file
    while n and not lines[n - 1].strip():
        n -= 1
    return gap_start + sum(len(line) for line in lines[:n])


class _Merge:
    def __init__(self, nodes: dict[Path, Node], root: Node) -> None:
        self.nodes = nodes
        self.root = root

    def block(self, node: Node, old: Part, new: Part) -> None:
        """Change the table of a heading, and those under it, from ``old`` to ``new``."""
        keys = tomlkit.parse(node.body)
        before = keys.as_string()
        self.table(cast("MutableMapping[str, Any]", keys), old, new, node)
        after = keys.as_string()
        if after != before:
            node.body = after if after.endswith("\n") or not after else after + "\n"

    def table(self, keys: MutableMapping[str, Any], old: Part, new: Part, node: Node | None) -> None:
        """Change ``keys`` in place; ``node`` is None for a table inside a line, which has no headings."""
        names = {info.alias or name: name for name, info in type(new).model_fields.items()}
        for key in [k for k in keys if k not in names]:
            del keys[key]
        if node is not None and type(old) is not type(new):
            for info_name, info in type(old).model_fields.items():
                if (info.alias or info_name) not in names:
                    self.drop((*node.path, info.alias or info_name))
        for key, name in names.items():
            before, after = getattr(old, name, _NOTHING), getattr(new, name)
            # What goes without saying for one kind of restraint may have to be said for another.
            said = type(old) is type(new) or key in keys
            if before == after and said:
                continue
            if key in keys and node is not None and before == [] and isinstance(after[0], Part):
                # A list kept open for later: its tables get headings, as people write them.
                del keys[key]
                self.add(keys, key, after, node)
            elif key in keys:
                self.value(keys, key, before, after)
            elif node is not None and self.headed((*node.path, key)):
                self.headings(node, key, before, after)
            elif not left_out(new, name):
                self.add(keys, key, after, node)

    def headed(self, path: Path) -> bool:
        """True where some heading of the file is at ``path`` or under it."""
        return any(p[: len(path)] == path for p in self.nodes)

    # Tables with headings of their own -------------------------------------------------------------------

    def headings(self, node: Node, key: str, before: Any, after: Any) -> None:
        path = (*node.path, key)
        if after is None:
            self.drop(path)
        elif isinstance(after, list):
            self.listed(path, cast("list[Part]", before), cast("list[Part]", after))
        elif isinstance(after, HeelRange) and not isinstance(before, HeelRange):
            raise CannotMerge
        elif path in self.nodes:
            self.block(self.nodes[path], before, after)
        else:
            # Only headings under it stand in the file, such as [[float.section]] without [float].
            first = min((p for p in self.nodes if p[: len(path)] == path), key=lambda p: self.place(p))
            above = self.nodes[first].above or self.root
            made = Node(path, "\n", f"[{'.'.join(str(p) for p in path if isinstance(p, str))}]\n")
            above.add(made, above.under.index(self.nodes[first]))
            self.nodes[path] = made
            self.block(made, before, after)

    def place(self, path: Path) -> int:
        """How far down the file a heading stands."""
        order: list[Node] = []

        def walk(node: Node) -> None:
            order.append(node)
            for each in node.under:
                walk(each)

        walk(self.root)
        return next(n for n, each in enumerate(order) if each is self.nodes[path])

    def drop(self, path: Path) -> None:
        for each in [p for p in self.nodes if p[: len(path)] == path]:
            node = self.nodes.pop(each)
            if node.above is not None and node.above.path[: len(path)] != path:
                self.unhook(node)

    def unhook(self, node: Node) -> None:
        """Take a heading out of the text; a paragraph of comment that stood apart below it stays."""
        above = node.above
        assert above is not None
        at = next(n for n, each in enumerate(above.under) if each is node)
        left = node.last().tail
        del above.under[at]
        if "#" in left:
            (above.under[at - 1].last() if at else above).tail += left

    def listed(self, path: Path, old: list[Part], new: list[Part]) -> None:
        nodes = [self.nodes.get((*path, n)) for n in range(len(old))]
        kept = [n for n in nodes if n is not None]
        above = kept[0].above if kept else None
        if above is None or len(kept) != len(old) or any(n.above is not above for n in kept):
            raise CannotMerge
        wanted: list[Node] = []
        used: set[int] = set()
        for part, match in zip(new, pair_up(old, new), strict=True):
            if match is None:
                wanted.append(_node_of(block_of(_heading(path), part)))
            else:
                used.add(match)
                if old[match] != part:
                    self.block(kept[match], old[match], part)
                wanted.append(kept[match])
        for number, node in enumerate(kept):
            if number not in used:
                self.unhook(node)
        stay = {id(n) for n in kept}
        slots = [n for n, each in enumerate(above.under) if id(each) in stay]
        # Every place that held one of them holds one again, in the new order; what is over goes after the last.
        end = slots[-1] + 1 if slots else len(above.under)
        for slot, node in zip(slots, wanted, strict=False):
            above.under[slot] = node
        above.under[end:end] = wanted[len(slots) :]
        for node in wanted:
            node.above = above

    # Values within a line --------------------------------------------------------------------------------

    def add(self, keys: MutableMapping[str, Any], key: str, value: Any, node: Node | None) -> None:
        tables = cast("list[Any]", value) if isinstance(value, list) else []
        if node is not None and tables and isinstance(tables[0], Part):
            path = (*node.path, key)
            for each in cast("list[Part]", value):
                node.add(_node_of(block_of(_heading(path), each)))
        elif node is self.root and isinstance(value, Part):
            self.root.add(_node_of(block_of(f"[{key}]", value)))
        else:
            keys[key] = _item(plain_value(key, value))

    def value(self, keys: MutableMapping[str, Any], key: str, before: Any, after: Any) -> None:
        here = keys[key]
        if after is None:
            del keys[key]
            return
        width = _width(keys, key)
        if isinstance(after, Part) and type(after) is type(before) and isinstance(here, MutableMapping):
            self.table(cast("MutableMapping[str, Any]", here), before, after, None)
        elif isinstance(here, kit.Array) and isinstance(after, (list, tuple)):
            self.array(keys, key, before, cast("Sequence[Any]", after))
        else:
            keys[key] = _item(_written_like(here, plain_value(key, after)))
        _realign(keys, key, width)

    def array(self, keys: MutableMapping[str, Any], key: str, before: Any, after: Sequence[Any]) -> None:
        here = cast("list[Any]", keys[key])
        was = cast("Sequence[Any]", before) if isinstance(before, (list, tuple)) else ()
        if was and after and isinstance(was[0], Part) and isinstance(after[0], Part):
            places = pair_up(was, after)
        else:
            alike = min(len(was), len(after))
            places = [*range(alike), *[None] * (len(after) - alike)]
        kept = [p for p in places if p is not None]
        if not kept or kept != sorted(kept):
            keys[key] = _item(plain_value(key, after))
            return
        for n in sorted(set(range(len(was))) - set(kept), reverse=True):
            del here[n]
        for n, (place, now) in enumerate(zip(places, after, strict=True)):
            if place is None:
                here.insert(n, _item(plain_value(key, now)))
            elif was[place] != now and isinstance(now, Part) and isinstance(here[n], MutableMapping):
                self.table(cast("MutableMapping[str, Any]", here[n]), was[place], now, None)
            elif was[place] != now:
                here[n] = _item(_written_like(here[n], plain_value(key, now)))


def _width(keys: MutableMapping[str, Any], key: str) -> int:
    item: Any = keys.item(key) if isinstance(keys, Container) else None
    return len(item.as_string()) if isinstance(item, kit.Item) else 0


def _realign(keys: MutableMapping[str, Any], key: str, width: int) -> None:
    """Keep the comment behind a value in its column, as long as there is room."""
    item: Any = keys.item(key) if isinstance(keys, Container) else None
    if isinstance(item, kit.Item):
        text, space = item.as_string(), item.trivia.comment_ws
        if item.trivia.comment and "\n" not in text and "\t" not in space:
            item.trivia.comment_ws = " " * max(1, len(space) + width - len(text))


def _heading(path: Path) -> str:
    return f"[[{'.'.join(p for p in path if isinstance(p, str))}]]"


def _node_of(block: Block) -> Node:
    own = block.own_text()
    head, _, body = own.partition("\n")
    node = Node(("new",), "\n", head + "\n", body)
    for each in block.under:
        node.add(_node_of(each))
    return node


def _written_like(here: Any, value: Any) -> Any:
    """A number written with or without a decimal point, as the one it takes the place of."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        if isinstance(here, kit.Integer) and float(value).is_integer() and abs(value) < 1e15:
            return int(value)
        if isinstance(here, kit.Float):
            return float(value)
    return value


def _item(value: Any) -> Any:
    if isinstance(value, dict):
        table = tomlkit.inline_table()
        for key, each in cast("dict[str, Any]", value).items():
            table[key] = _item(each)
        return table
    if isinstance(value, list):
        array = tomlkit.array()
        for each in cast("list[Any]", value):
            cast("list[Any]", array).append(_item(each))
        return array
    return cast("Any", tomlkit.item(value))


# Which of the old parts a new one is --------------------------------------------------------------------------


def pair_up(old: Sequence[Part], new: Sequence[Part]) -> list[int | None]:
    """For each new part the old one whose words it keeps, or None.

    By id; then by being just the same; then by kind and face, in order; then, where none came or went, by place.
    """
    found: list[int | None] = [None] * len(new)
    free = set(range(len(old)))

    def by(sign: Callable[[Part], Any]) -> None:
        waiting: dict[Any, list[int]] = {}
        for n in sorted(free):
            if sign(old[n]) is not None:
                waiting.setdefault(sign(old[n]), []).append(n)
        for n, part in enumerate(new):
            if found[n] is None and waiting.get(sign(part)):
                found[n] = waiting[sign(part)].pop(0)
                free.discard(cast("int", found[n]))

    by(lambda part: getattr(part, "id", None))
    by(lambda part: part.model_dump_json())
    by(_likeness)
    if len(old) == len(new):
        for n, place in enumerate(found):
            if place is None and n in free:
                found[n] = n
                free.discard(n)
    return found


def _likeness(part: Part) -> Any:
    if isinstance(part, Finding):
        return part.date, part.note
    kind = getattr(part, "type", None)
    if kind is not None:
        # Two restraints that both bear names, and different ones, are told apart by them.
        return None if getattr(part, "id", None) else (kind, getattr(part, "face", None))
    return getattr(part, "x_m", None)
