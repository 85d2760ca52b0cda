"""The forms in a page's HTML, as a browser without JavaScript would send them."""

from dataclasses import dataclass, field
from html.parser import HTMLParser

UNSENT = {"submit", "button", "image", "reset"}


@dataclass
class Control:
    """One field. `value` is what is sent if nobody touches it; None if nothing is."""

    name: str
    kind: str
    value: str | None = ""
    options: list[str] = field(default_factory=list)
    multiple: bool = False


@dataclass
class Form:
    action: str
    method: str
    encoding: str
    controls: list[Control] = field(default_factory=list)
    submits: list[Control] = field(default_factory=list)

    @property
    def names(self) -> list[str]:
        """Of the fields that a person fills."""
        own = [each for each in self.controls if each.name != "csrfmiddlewaretoken"]
        return list(dict.fromkeys(each.name for each in own))

    def filled(self) -> dict[str, list[str]]:
        """What is sent untouched, with the first choice wherever one has to be made."""
        sent: dict[str, list[str]] = {}
        for each in self.controls:
            if each.kind == "file":
                continue
            value = each.value
            if each.kind == "select" and not value:
                value = next((option for option in each.options if option), "")
            if each.kind == "radio" and value is None and each.name not in sent:
                value = each.options[0]
            if value is not None:
                sent.setdefault(each.name, []).append(value)
        for each in self.submits[:1]:
            if each.name:
                sent.setdefault(each.name, []).append(each.value or "")
        return sent


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: dict[str, Form] = {}
        self.open: Form | None = None
        self.chosen: Control | None = None
        self.text: Control | None = None
        self.outside: list[tuple[str, Control]] = []

    def handle_starttag(self, tag: str, found: list[tuple[str, str | None]]) -> None:
        attrs = {name: value or "" for name, value in found}
        if tag == "form":
            self.open = Form(
                action=attrs.get("action", ""),
                method=attrs.get("method", "get").lower(),
                encoding=attrs.get("enctype", "application/x-www-form-urlencoded"),
            )
            self.forms[attrs.get("id") or f"#{len(self.forms)}"] = self.open
        elif tag == "option" and self.chosen is not None:
            value = attrs.get("value", "")
            self.chosen.options.append(value)
            if "selected" in attrs:
                self.chosen.value = value
        elif tag in {"input", "select", "textarea", "button"}:
            self._control(tag, attrs)

    def _control(self, tag: str, attrs: dict[str, str]) -> None:
        kind = tag if tag in {"select", "textarea"} else attrs.get("type", _DEFAULT_TYPE[tag])
        control = Control(
            attrs.get("name", ""), kind, attrs.get("value", ""), multiple="multiple" in attrs
        )
        if kind in {"checkbox", "radio"}:
            control.options = [attrs.get("value", "on")]
            control.value = control.options[0] if "checked" in attrs else None
        if tag == "select":
            self.chosen = control
        if tag == "textarea":
            self.text = control
        if "disabled" not in attrs:
            self._belongs(attrs.get("form", ""), control)

    def _belongs(self, form: str, control: Control) -> None:
        if form:
            self.outside.append((form, control))
        elif self.open is not None:
            _add(self.open, control)

    def handle_data(self, data: str) -> None:
        if self.text is not None:
            self.text.value = (self.text.value or "") + data

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.open = None
        elif tag == "select":
            self.chosen = None
        elif tag == "textarea":
            self.text = None


_DEFAULT_TYPE = {"input": "text", "button": "submit", "select": "select", "textarea": "textarea"}


def _add(form: Form, control: Control) -> None:
    if control.kind in {"submit", "image"}:
        form.submits.append(control)
    elif control.name and control.kind not in UNSENT:
        form.controls.append(control)


def forms_in(html: str) -> list[Form]:
    reader = _Reader()
    reader.feed(html)
    for form, control in reader.outside:
        _add(reader.forms[form], control)
    return list(reader.forms.values())
