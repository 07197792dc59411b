"""A strict reader of HTML and SVG: balanced tags, known ids, text as shown."""

from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = {"meta", "br", "col", "link", "img", "input", "hr"}
RAW = {"style"}


@dataclass
class Element:
    """An element with its own text and everything inside it."""

    tag: str
    attrs: dict
    text: str = ""
    inside: list = field(default_factory=list)

    def all(self):
        """Itself and everything inside it, in order."""
        yield self
        for child in self.inside:
            yield from child.all()

    def words(self):
        """All text inside it that a reader sees, single spaces between."""
        return " ".join(" ".join(e.text for e in self.all() if e.tag not in RAW).split())


class Page(HTMLParser):
    """Parses on making; an unbalanced tag is an error."""

    def __init__(self, source):
        super().__init__()
        self.source = source
        self.root = Element("", {})
        self.stack = [self.root]
        self.feed(source)
        self.close()
        assert [element.tag for element in self.stack] == [""], "elements left open"

    def handle_starttag(self, tag, attrs):
        element = Element(tag, dict(attrs))
        assert len(element.attrs) == len(attrs), f"an attribute twice in {tag}"
        self.stack[-1].inside.append(element)
        if tag not in VOID:
            self.stack.append(element)

    def handle_startendtag(self, tag, attrs):
        self.stack[-1].inside.append(Element(tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self.stack.pop().tag == tag, f"</{tag}> closes something else"

    def handle_data(self, data):
        self.stack[-1].text += data.replace("\u00a0", " ")  # a reader sees no difference

    def find(self, tag=None, class_=None):
        """Elements of that tag and class, in order."""
        return [
            e
            for e in self.root.all()
            if (tag is None or e.tag == tag) and (class_ is None or class_ in (e.attrs.get("class") or "").split())
        ]

    def by_id(self):
        """Elements by id; an id used twice is an error."""
        found = {}
        for element in self.root.all():
            name = element.attrs.get("id")
            if name is not None:
                assert name not in found, f"id {name} twice"
                found[name] = element
        return found
