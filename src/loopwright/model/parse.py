"""YAML text to a tree of nodes, with every fault of the text as a finding.

Only the plain part of YAML is taken: mappings, lists, values. All values stay text, so nothing
is rounded and no object is ever built from a tag.
"""

from __future__ import annotations

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from loopwright.finding import Finding, Place, new_finding
from loopwright.model.source import Items, Mapping, Scalar, Spot, Tree
from loopwright.model.syntax import syntax_finding

DEEPEST = 20
MOST_NODES = 100_000
_NULLS = {"", "~", "null", "Null", "NULL"}


def parse_text(
    text: str, file: str, most: int = MOST_NODES
) -> tuple[Tree | None, tuple[Finding, ...]]:
    """The tree of `text` and what is wrong with it; None where there is nothing to go on with.

    It may have `most` nodes.
    """
    builder = _Builder(file, most)
    try:
        for event in YAML(typ="safe", pure=True).parse(text):
            builder.take(event)
            if builder.documents > 1:
                break
    except _TooMuchError:
        return None, tuple(builder.findings)
    except MarkedYAMLError as error:
        return None, (*builder.findings, syntax_finding(error, text, file))
    except (YAMLError, ValueError) as error:
        said = " ".join(str(error).split())[:200]
        finding = new_finding("LW104", "this is not YAML", Place(file=file), value=said)
        return None, (*builder.findings, finding)
    return builder.root, tuple(builder.findings)


class _TooMuchError(Exception):
    """The limits are passed; the finding is made."""


class _Builder:
    """Grows the tree from events, without recursion."""

    def __init__(self, file: str, most: int) -> None:
        self.file = file
        self.most = most
        self.root: Tree | None = None
        self.findings: list[Finding] = []
        self.documents = 0
        self.size = 0
        self._open: list[Items | Mapping] = []
        self._waiting: list[tuple[str | None, Spot] | None] = []
        self._anchors: dict[str, Tree] = {}
        self._names: list[str | None] = []

    def take(self, event: Event) -> None:
        """Grow by one event."""
        if isinstance(event, DocumentStartEvent):
            self._start_document(event)
        elif isinstance(event, (MappingStartEvent, SequenceStartEvent)):
            self._start(event)
        elif isinstance(event, (MappingEndEvent, SequenceEndEvent)):
            self._end()
        elif isinstance(event, ScalarEvent):
            self._scalar(event)
        elif isinstance(event, AliasEvent):
            self._alias(event)

    def _start_document(self, event: DocumentStartEvent) -> None:
        self.documents += 1
        if self.documents == 2:
            message = "a second document starts here; only the first is read"
            self._tell("LW107", message, self._spot(event), remedy="take lines of --- and ... out")

    def _start(self, event: MappingStartEvent | SequenceStartEvent) -> None:
        spot = self._spot(event)
        node: Items | Mapping = Items(spot)
        if isinstance(event, MappingStartEvent):
            node = Mapping(spot)
        node.faulty = self._refuse_tag(event, spot)
        if len(self._open) == DEEPEST:
            self._tell("LW108", "too deep", spot, allowed=f"{DEEPEST} levels")
            raise _TooMuchError
        self._count(1, spot)
        self._open.append(node)
        self._waiting.append(None)
        self._names.append(event.anchor)

    def _end(self) -> None:
        node = self._open.pop()
        self._waiting.pop()
        name = self._names.pop()
        self._attach(node, name)

    def _scalar(self, event: ScalarEvent) -> None:
        spot = self._spot(event)
        faulty = self._refuse_tag(event, spot)
        self._count(1, spot)
        text: str | None = event.value
        if event.style is None or event.style == "":
            text = None if event.value in _NULLS else event.value
        self._attach(Scalar(spot, text, faulty), event.anchor)

    def _alias(self, event: AliasEvent) -> None:
        spot = self._spot(event)
        node = self._anchors.get(event.anchor)
        if node is None:
            message = f"*{event.anchor} refers to nothing that is complete before it"
            self._tell("LW107", message, spot)
            node = Scalar(spot, None, faulty=True)
        self._count(node.size, spot)
        self._attach(node, None)

    def _attach(self, node: Tree, anchor: str | None) -> None:
        """Put a complete node into the one that is open, as key, value or item."""
        if anchor is not None:
            self._anchors[anchor] = node
        if not self._open:
            self.root = node
            return
        parent = self._open[-1]
        parent.size += node.size
        if isinstance(parent, Items):
            parent.items.append(node)
        elif self._waiting[-1] is None:
            self._waiting[-1] = self._key(parent, node)
        else:
            key, spot = self._waiting[-1]
            self._waiting[-1] = None
            if key is not None and key not in parent.entries:
                parent.entries[key] = node
                parent.keys[key] = spot

    def _key(self, parent: Mapping, node: Tree) -> tuple[str | None, Spot]:
        """The key that `node` is; None where its value is to be left out."""
        if not isinstance(node, Scalar):
            self._tell("LW107", "a list or mapping cannot be a key", node.spot)
            return None, node.spot
        key = node.text
        if not key:
            remedy = "write a name before the colon"
            self._tell("LW118", "the key is missing here", node.spot, remedy=remedy)
            return None, node.spot
        if key == "<<":
            message = "merging of mappings (<<) is not used here"
            self._tell("LW107", message, node.spot)
            return None, node.spot
        if key in parent.entries:
            first = parent.keys[key].line
            message = f"the key {key!r} stands here again; it was given in line {first}"
            self._tell("LW106", message, node.spot, value=key)
        return key, node.spot

    def _refuse_tag(self, event: Event, spot: Spot) -> bool:
        """Tell of a tag, if there is one."""
        tag = getattr(event, "tag", None)
        if tag is None or str(tag) in ("", "!"):
            return False
        text = str(tag).replace("tag:yaml.org,2002:", "!!")
        message = f"the tag {text!r} is not used here; nothing is built from tags"
        self._tell("LW107", message, spot, value=text, remedy="take the tag out")
        return True

    def _count(self, nodes: int, spot: Spot) -> None:
        self.size += nodes
        if self.size > self.most:
            message = "too many entries, repeated ones counted each time"
            self._tell("LW108", message, spot, allowed=f"{self.most} entries")
            raise _TooMuchError

    def _spot(self, event: Event) -> Spot:
        mark = event.start_mark
        return Spot(self.file, mark.line + 1, mark.column + 1)

    def _tell(
        self,
        code: str,
        message: str,
        spot: Spot,
        *,
        value: str | None = None,
        allowed: str | None = None,
        remedy: str | None = None,
    ) -> None:
        finding = new_finding(
            code, message, spot.place(), value=value, allowed=allowed, remedy=remedy
        )
        self.findings.append(finding)
