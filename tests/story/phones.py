"""Phones of the crew: what a page offers first, and forms as they are sent without a script."""

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from html.parser import HTMLParser
from typing import Any

from flask import Flask

from app.store.db.clock import new_id
from app.store.folder import Folder
from tests.web.conftest import Browser


@dataclass
class Form:
    """A form as a phone would send it if nothing in it was touched."""

    action: str = ""
    id: str = ""
    fields: list[tuple[str, str]] = field(default_factory=list)
    rungs: list[Any] = field(default_factory=list)

    def get(self, name: str) -> str:
        return dict(self.fields).get(name, "")

    def all(self, name: str) -> list[str]:
        return [value for key, value in self.fields if key == name]

    @property
    def body(self) -> dict[str, Any]:
        """What its hidden body says."""
        found: dict[str, Any] = json.loads(self.get("body") or "{}")
        return found


class Page(HTMLParser):
    """The forms of a page and its large button; a form that does not say where it goes goes there again."""

    def __init__(self, text: str, address: str = "") -> None:
        super().__init__()
        self.address = address
        self.forms: list[Form] = []
        self.large: list[tuple[dict[str, str], Form | None]] = []
        self._form: Form | None = None
        self._select = ""
        self._chosen = -1
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = {key: value or "" for key, value in attrs}
        if tag == "form":
            rungs = json.loads(said.get("data-rungs", "[]"))
            self._form = Form(said.get("action") or self.address, said.get("id", ""), rungs=rungs)
            self.forms.append(self._form)
        elif tag in {"a", "button"} and "act" in said.get("class", "").split():
            self.large.append((said, self._form))
        elif self._form is not None:
            self._take_field(tag, said, self._form.fields)

    def _take_field(self, tag: str, said: dict[str, str], fields: list[tuple[str, str]]) -> None:
        if tag == "select":
            self._select, self._chosen = said.get("name", ""), -1
        elif tag == "option" and self._select:
            if self._chosen < 0:
                self._chosen = len(fields)
                fields.append((self._select, said.get("value", "")))
            elif "selected" in said:
                fields[self._chosen] = (self._select, said.get("value", ""))
        elif tag == "input" and said.get("name") and "disabled" not in said:
            sent = said.get("type") not in {"checkbox", "radio"} or "checked" in said
            fields += [(said["name"], said.get("value", ""))] * sent

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._form = None
        elif tag == "select":
            self._select = ""

    def form(self, **fields: str) -> Form:
        """Return the first form in which some fields say this."""
        return next(form for form in self.forms if all(form.get(name) == v for name, v in fields.items()))

    @property
    def offer(self) -> "Offer":
        """What the large button does."""
        assert self.large, "the page has no large button"
        said, around = self.large[0]
        if "href" in said:
            return Offer(said["href"])
        own = next((form for form in self.forms if form.id and form.id == said.get("form")), around)
        assert own is not None, said
        fields = [*own.fields, (said["name"], said["value"])] if said.get("name") else own.fields
        return Offer(form=Form(own.action, own.id, fields))


@dataclass(frozen=True)
class Offer:
    """What a large button does: it leads somewhere, or sends a form."""

    href: str = ""
    form: Form | None = None


_ASKED_ONLY = frozenset({"csrf_token", "reached", "tool", "act", "stage", "after", "line_id"})
"""Fields of a card's form that say something else with every act, or nothing."""
Entry = dict[str, Any]


class Phone(Browser):
    """A phone of the crew: its page stays open, so its token is read once."""

    def __init__(self, app: Flask, folder: Folder, key: str, *, person: str) -> None:
        super().__init__(app, folder, key)
        self.folder = folder
        self.person = person

    @cached_property
    def token(self) -> str:
        return super().token

    def page(self, address: str) -> Page:
        answer = self.client.get(address)
        assert answer.status_code == 200, (address, answer.status_code)
        return Page(answer.text, address)

    def kept(self, form: Form, about: Entry, *, upto: str) -> list[Entry]:
        """Return what a phone keeps that climbs a card's ladder while it is out of reach.

        Args:
            form: The card's form as it was when it was last in reach.
            about: The subject, and to which folder and build it belongs.
            upto: The last act.
        """
        entries: list[Entry] = []
        same = [each for each in form.fields if each[0] not in _ASKED_ONLY]
        for act, _, stage, asks, *_ in form.rungs:
            after = [entries[-1]["id"]] if entries else form.all("after")
            said = [*same, ("act", act), ("stage", str(stage)), *(("after", each) for each in after)]
            if "value" in asks:
                said += [("way", '["read"]'), ("reached", "25"), ("tool", '["", "N·m", 1, ""]')]
            entries.append({"id": new_id(), "type": "form", "form": "mark", **about, "fields": said})
            if act == upto:
                return entries
        raise AssertionError((upto, form.rungs))

    def send_all(self, entries: Iterable[Entry]) -> None:
        """Send what was kept, each entry twice, as after an answer that got lost."""
        for entry in entries:
            for answer in (self.send(entry), self.send(entry)):
                assert answer.status_code == 200, (entry, answer.text)

    def submit(self, form: Form, **over: str) -> None:
        """Send a form; `over` says what was typed or chosen in it."""
        data: dict[str, list[str]] = {}
        for name, value in form.fields:
            data.setdefault(name, []).append(over.get(name, value))
        answer = self.client.post(form.action, data=data | {"csrf_token": [self.token]})
        wrong = re.findall(r'class="problem[^>]*>(.*?)</', answer.text, re.DOTALL)
        assert answer.status_code == 302, (form, over, wrong)
