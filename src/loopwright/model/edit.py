"""One entry of a project file set or taken out, in the text itself: every other character stays.

The text is changed where the entry stands, so comments, order and line ends are those of the
user. What comes out is read again; an edit that would change anything else is refused.
"""

from __future__ import annotations

from collections.abc import Sequence

from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from loopwright.model.parse import parse_text
from loopwright.model.source import Items, Mapping, Scalar, Spot, Step, Tree, walk
from loopwright.model.writing import flow_text, scalar_text

Value = str | Tree | None
"""What an entry gets: a single value, a whole tree, or nothing, which takes the entry out."""

_NOWHERE = Spot("", 1, 1)


class EditError(Exception):
    """The entry cannot be set there; the message says why and what to do."""


def set_entry(text: str, path: Sequence[Step], value: Value) -> str:
    """`text` with the entry at `path` set to `value`; what is missing on the way is made.

    Raises
    ------
    EditError
        The text is no project file, something else stands on the way, or the entry stands under
        an alias, where it would change more than itself.
    """
    tree, found = parse_text(text, "project")
    if tree is None or found or not isinstance(tree, Mapping) or not path:
        raise EditError("The text does not read as a project: mend what is found in it first.")
    if value is None and len(list(walk(tree, path))) <= len(path):
        return text
    mark = "\ufeff" if text.startswith("\ufeff") else ""
    bare = text[len(mark) :]
    try:
        root = YAML(typ="safe", pure=True).compose(bare)
    except (YAMLError, ValueError) as error:
        raise EditError("The text does not read as YAML.") from error
    changed = mark + _Text(bare, root).set(tuple(path), value)
    after, faults = parse_text(changed, "project")
    wanted = _with(tree.plain(), tuple(path), value)
    if faults or after is None or _bare(after.plain()) != _bare(wanted):
        where = ".".join(map(str, path))
        raise EditError(f"{where} cannot be changed by itself here: edit the text.")
    return changed


class _Text:
    """A text with the nodes that it is made of."""

    def __init__(self, text: str, root: Node) -> None:
        self.text = text
        self.root = root
        self.end_of_line = "\r\n" if "\r\n" in text else "\n"

    def set(self, path: tuple[Step, ...], value: Value) -> str:
        nodes = self._walk(path)
        if len(nodes) == len(path) + 1:
            if value is None:
                return self._without(nodes, path)
            return self._replaced(nodes, path, value)
        return self._added(nodes[-1], path[: len(nodes) - 1], path[len(nodes) - 1 :], value)

    def _walk(self, path: tuple[Step, ...]) -> list[Node]:
        """The nodes along `path` as far as there are any, the root first."""
        nodes = [self.root]
        for step in path:
            inner = _child(nodes[-1], step)
            if inner is None:
                break
            if _starts(inner) < self._after_key(nodes[-1], step):
                raise EditError(f"{step} stands for what is written elsewhere: edit the text.")
            nodes.append(inner)
        return nodes

    def _replaced(self, nodes: list[Node], path: tuple[Step, ...], value: Value) -> str:
        node, parent, step = nodes[-1], nodes[-2], path[-1]
        written = _written(value)
        if _empty(node):
            at = self._after_key(parent, step)
            return self._spliced(at, at, f" {written}")
        start, end = _starts(node), self._end(node)
        if not _flows(node) and not isinstance(node, ScalarNode) and isinstance(step, str):
            colon = self._after_key(parent, step)
            rest = self.text[colon : self._line_end(colon)].strip()
            comment = f"  {rest}" if rest.startswith("#") else ""
            return self._spliced(colon, end, f" {written}{comment}")
        return self._spliced(start, end, written)

    def _added(
        self, node: Node, path: tuple[Step, ...], rest: tuple[Step, ...], value: Value
    ) -> str:
        step = rest[0]
        if isinstance(node, ScalarNode):
            if node.value not in ("", "~", "null", "Null", "NULL"):
                where = ".".join(map(str, path))
                raise EditError(f"{where} has one value and no entries: take that out first.")
            return self._replaced(self._walk(path), path, _nested(rest, value))
        fits = isinstance(step, str) if isinstance(node, MappingNode) else step == len(node.value)
        if not fits:
            raise EditError(f"There is no entry {step} to change.")
        inner = _nested(rest[1:], value)
        said = _written(inner)
        if isinstance(step, str):
            said = f"{scalar_text(step)}: {said}"
        if _flows(node):
            at = len(self.text[: node.end_mark.index - 1].rstrip())
            return self._spliced(at, at, f", {said}" if node.value else said)
        return self._with_lines(node, path, rest, value, said)

    def _with_lines(
        self, node: Node, path: tuple[Step, ...], rest: tuple[Step, ...], value: Value, said: str
    ) -> str:
        """An entry on lines of its own, after all others of a block."""
        first = node.value[0]
        if isinstance(node, MappingNode):
            column = first[0].start_mark.column
            lines = self._lines(rest, value, " " * column, deep=bool(path))
        else:
            dash = self.text.rindex("-", 0, _starts(first))
            column = dash - self.text.rfind("\n", 0, dash) - 1
            lines = [f"{' ' * column}- {said}"]
        at = self._line_end(self._end(node))
        if not path:
            lines.insert(0, "")
        return self._spliced(at, at, "".join(self.end_of_line + line for line in lines))

    def _lines(self, rest: tuple[Step, ...], value: Value, indent: str, deep: bool) -> list[str]:
        """A new entry: a section in a block, what is in it in one line."""
        key, inner = scalar_text(str(rest[0])), rest[1:]
        if inner and isinstance(inner[0], int):
            return [f"{indent}{key}:", f"{indent}  - {_written(_nested(inner[1:], value))}"]
        if inner and not deep:
            return [f"{indent}{key}:", *self._lines(inner, value, indent + "  ", deep=True)]
        return [f"{indent}{key}: {_written(_nested(inner, value))}"]

    def _without(self, nodes: list[Node], path: tuple[Step, ...]) -> str:
        node, parent, step = nodes[-1], nodes[-2], path[-1]
        if len(parent.value) == 1:
            if len(path) == 1:
                raise EditError("This is the last section of the file.")
            empty: Tree = Mapping(_NOWHERE) if isinstance(parent, MappingNode) else Items(_NOWHERE)
            return self._replaced(nodes[:-1], path[:-1], empty)
        index = next(i for i, entry in enumerate(parent.value) if _value(entry) is node)
        start = self._entry_start(parent, index)
        end = self._after_key(parent, step) if _empty(node) else self._end(node)
        last = index == len(parent.value) - 1
        if _flows(parent):
            if last:
                before = self.text.rindex(",", 0, start)
                return self._spliced(before, end, "")
            return self._spliced(start, self._entry_start(parent, index + 1), "")
        line = self.text.rfind("\n", 0, start) + 1
        if self.text[line:start].strip():  # the first entry of an item, behind its dash
            return self._spliced(start, self._entry_start(parent, index + 1), "")
        return self._spliced(line, min(len(self.text), self._line_end(end, whole=True)), "")

    def _entry_start(self, parent: Node, index: int) -> int:
        entry = parent.value[index]
        if _maps(parent):
            return int(entry[0].start_mark.index)
        if _flows(parent):
            return _starts(entry)
        return self.text.rindex("-", 0, _starts(entry))

    def _end(self, node: Node) -> int:
        """Where the node ends, without the comments and empty lines behind it."""
        end = int(node.end_mark.index)
        if isinstance(node, ScalarNode):
            return len(self.text[:end].rstrip()) if node.style in ("|", ">") else end
        if _flows(node) or not node.value:
            return end
        last = node.value[-1]
        inner = _value(last)
        after = self._after_key(node, last[0].value) if _maps(node) else _starts(node)
        if _starts(inner) < after:
            raise EditError("The last entry here stands for what is written elsewhere.")
        return after if _empty(inner) else self._end(inner)

    def _after_key(self, node: Node, step: Step) -> int:
        """Where the value of an entry may begin: behind the colon of its key."""
        if not isinstance(node, MappingNode):
            return _starts(node)
        key = next(key for key, _ in node.value if key.value == step)
        return self.text.index(":", key.end_mark.index) + 1

    def _line_end(self, at: int, whole: bool = False) -> int:
        """Where the line ends in which `at` is; with `whole`, behind its end."""
        end = self.text.find("\n", at)
        if end < 0:
            return len(self.text)
        if whole:
            return end + 1
        return end - 1 if self.text[end - 1] == "\r" else end

    def _spliced(self, start: int, end: int, new: str) -> str:
        return self.text[:start] + new + self.text[end:]


def _child(node: Node, step: Step) -> Node | None:
    entries = node.value
    if isinstance(node, MappingNode):
        return next((value for key, value in entries if key.value == step), None)
    if isinstance(node, SequenceNode) and isinstance(step, int) and 0 <= step < len(entries):
        return _value(entries[step])
    return None


def _value(entry: Node | tuple[Node, Node]) -> Node:
    return entry[1] if isinstance(entry, tuple) else entry


def _maps(node: Node) -> bool:
    return isinstance(node, MappingNode)


def _flows(node: Node) -> bool:
    return bool(getattr(node, "flow_style", False))


def _empty(node: Node) -> bool:
    """Whether nothing is written there; such a node stands where the next thing begins."""
    return isinstance(node, ScalarNode) and node.start_mark.index == node.end_mark.index


def _starts(node: Node) -> int:
    return int(node.start_mark.index)


def _written(value: Value) -> str:
    assert value is not None
    return scalar_text(value) if isinstance(value, str) else flow_text(value)


def _nested(path: tuple[Step, ...], value: Value) -> Value:
    """`value` inside new entries along `path`."""
    for step in reversed(path):
        assert value is not None
        inner = Scalar(_NOWHERE, value) if isinstance(value, str) else value
        if isinstance(step, str):
            value = Mapping(_NOWHERE, {step: inner})
        elif step == 0:
            value = Items(_NOWHERE, [inner])
        else:
            raise EditError(f"There is no entry {step} to change.")
    return value


def _with(plain: object, path: tuple[Step, ...], value: Value) -> object:
    """The plain form of a tree with the edit made."""
    if not path:
        return value.plain() if isinstance(value, (Scalar, Items, Mapping)) else value
    step, rest = path[0], path[1:]
    if isinstance(step, int):
        items = list(plain) if isinstance(plain, list) else []
        if value is None and not rest:
            return items[:step] + items[step + 1 :]
        items[step : step + 1] = [_with(items[step] if step < len(items) else None, rest, value)]
        return items
    entries = dict(plain) if isinstance(plain, dict) else {}
    if value is None and (not rest or step not in entries):
        entries.pop(step, None)
        return entries
    entries[step] = _with(entries.get(step), rest, value)
    return entries


def _bare(plain: object) -> object:
    """A plain form in which nothing, null and the empty text are one."""
    if isinstance(plain, dict):
        return {key: _bare(entry) for key, entry in plain.items()}
    if isinstance(plain, list):
        return [_bare(entry) for entry in plain]
    return plain or None
