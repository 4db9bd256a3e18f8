"""A form as a browser reads it: its controls, what they would send, what is said beside them."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

_TEXT_INPUTS = ("text", "hidden", "password")


@dataclass(slots=True, kw_only=True)
class Control:
    """One field; radio buttons of one name are one."""

    name: str
    kind: str
    value: str = ""
    words: list[str] = field(default_factory=list)
    attributes: dict[str, str | None] = field(default_factory=dict)


class Form(HTMLParser):
    """The only form of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.action = ""
        self.method = ""
        self.controls: dict[str, Control] = {}
        self.labelled: set[str] = set()
        self.texts: dict[str, str] = {}
        self.ids: list[str] = []
        self.opened: bool | None = None
        self._select: Control | None = None
        self._within: list[tuple[str, str]] = []
        self.feed(page)
        self.close()

    def sent(self) -> list[tuple[str, str]]:
        """Names and values as they are sent, the empty ones among them."""
        return [(each.name, each.value) for each in self.controls.values()]

    def marked(self) -> set[str]:
        """The fields that are told to be wrong."""
        return {
            name
            for name, control in self.controls.items()
            if control.attributes.get("aria-invalid") == "true"
        }

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if given.get("id"):
            self.ids.append(str(given["id"]))
        if tag == "form":
            self.action, self.method = given["action"] or "", given["method"] or ""
        elif tag == "label" and given.get("for"):
            self.labelled.add(given["for"] or "")
        elif tag == "details" and given.get("id") == "more":
            self.opened = "open" in given
        elif tag == "select":
            name = given["name"] or ""
            self._select = self._new(Control(name=name, kind="select", attributes=given))
        elif tag == "option" and self._select is not None:
            self._select.words.append(given["value"] or "")
            if "selected" in given:
                self._select.value = given["value"] or ""
        elif tag == "input":
            self._input(given)
        elif tag == "p" and given.get("id"):
            self._within.append((tag, str(given["id"])))
            self.texts[str(given["id"])] = ""

    def handle_endtag(self, tag: str) -> None:
        if tag == "select":
            self._select = None
        if self._within and self._within[-1][0] == tag:
            self._within.pop()

    def handle_data(self, data: str) -> None:
        for _, name in self._within:
            self.texts[name] += data

    def _input(self, given: dict[str, str | None]) -> None:
        name, kind = given["name"] or "", given["type"] or ""
        if kind == "radio":
            control = self.controls.get(name)
            if control is None:
                control = self._new(Control(name=name, kind=kind, attributes=given))
            control.words.append(given["value"] or "")
            if "checked" in given:
                control.value = given["value"] or ""
        else:
            assert kind in _TEXT_INPUTS, kind
            value = given.get("value") or ""
            self._new(Control(name=name, kind=kind, value=value, attributes=given))

    def _new(self, control: Control) -> Control:
        assert control.name not in self.controls, f"{control.name} stands twice"
        self.controls[control.name] = control
        return control
