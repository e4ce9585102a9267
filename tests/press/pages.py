"""A page as a test reads it, and words that would like to be markup."""

from collections import Counter
from html.parser import HTMLParser

VOID = {"meta", "link", "input", "br", "img", "hr", "col"}
HOSTILE = "</script></style></p><script>alert(1)</script>\"'><img src=x onerror=alert(1)>&amp;"


class Page(HTMLParser):
    """Tags in balance, attributes, and the text inside each kind of element."""

    def __init__(self, page: bytes) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: Counter[str] = Counter()
        self.attributes: list[tuple[str, str, str]] = []
        self.words: dict[str, list[str]] = {}
        self.feed(page.decode())
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags[tag] += 1
        self.attributes += [(tag, name, value or "") for name, value in attrs]
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        for tag in set(self.open):
            self.words.setdefault(tag, []).append(data)

    def text(self, tag: str) -> str:
        return "".join(self.words.get(tag, []))

    def values(self, name: str) -> list[str]:
        return [value for _, attribute, value in self.attributes if attribute == name]


def spaced(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")
