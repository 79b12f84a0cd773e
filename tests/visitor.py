"""Somebody at a browser without scripts: reads pages, fills in forms, presses buttons."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any

from django.http import HttpResponse
from django.test import Client

from shopqc.models import Person


@dataclass
class Button:
    name: str
    value: str
    words: str = ""
    is_dead: bool = False


@dataclass
class FormOnPage:
    """A form as it was rendered: what its fields hold, and its buttons."""

    method: str
    action: str
    values: dict[str, Any] = field(default_factory=dict)
    buttons: list[Button] = field(default_factory=list)

    def button(self, name: str, value: str | None = None) -> Button | None:
        return next((b for b in self.buttons if b.name == name and value in (None, b.value)), None)


class Page(HTMLParser):
    """The forms, the links and the text of a page."""

    def __init__(self, response: HttpResponse) -> None:
        super().__init__()
        self.forms: list[FormOnPage] = []
        self.links: list[str] = []
        self._ids: dict[str, FormOnPage] = {}
        self._form: FormOnPage | None = None
        self._select: tuple[str, bool] | None = None
        self._area: str | None = None
        self._button: Button | None = None
        self._words: list[str] = []
        self._hidden = 0
        self.feed(response.content.decode())

    @property
    def text(self) -> str:
        return " ".join(" ".join(self._words).split())

    def form_with(self, name: str, value: str | None = None) -> FormOnPage | None:
        """The first form with a living button of that name."""
        for form in self.forms:
            button = form.button(name, value)
            if button and not button.is_dead:
                return form
        return None

    def has_button(self, name: str, value: str | None = None) -> bool:
        """Whether such a button stands there, living or dead."""
        return any(form.button(name, value) for form in self.forms)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        match tag:
            case "form":
                self._form = FormOnPage(given.get("method") or "get", given.get("action") or "")
                self.forms.append(self._form)
                if given.get("id"):
                    self._ids[str(given["id"])] = self._form
            case "a" if given.get("href"):
                self.links.append(str(given["href"]))
            case "input":
                self._input(given)
            case "textarea" if self._form is not None:
                self._area = given.get("name")
                self._form.values[str(self._area)] = ""
            case "select" if given.get("name"):
                self._select = (str(given["name"]), False)
            case "option" if self._select and self._form is not None:
                name, chosen = self._select
                if not chosen and ("selected" in given or name not in self._form.values):
                    self._form.values[name] = given.get("value") or ""
                    self._select = (name, "selected" in given)
            case "button":
                owner = self._ids.get(given.get("form") or "") or self._form
                self._button = Button(
                    given.get("name") or "", given.get("value") or "", "", "disabled" in given
                )
                if owner is not None:
                    owner.buttons.append(self._button)
            case "style" | "script":
                self._hidden += 1

    def _input(self, given: dict[str, str | None]) -> None:
        name, kind = given.get("name"), given.get("type")
        if self._form is None or not name:
            return
        if kind in {"checkbox", "radio"}:
            if "checked" in given:
                many = self._form.values.setdefault(name, [])
                many.append(given.get("value") or "on")
        else:
            self._form.values[name] = given.get("value") or ""

    def handle_endtag(self, tag: str) -> None:
        match tag:
            case "form":
                self._form = None
            case "textarea":
                self._area = None
            case "select":
                self._select = None
            case "button":
                self._button = None
            case "style" | "script":
                self._hidden -= 1

    def handle_data(self, data: str) -> None:
        if self._hidden:
            return
        if self._area and self._form is not None:
            self._form.values[self._area] += data.removeprefix("\n")
        if self._button is not None:
            self._button.words += data
        self._words.append(data)


class Visitor:
    """A browser, signed in or not. The last page stays open in ``page``."""

    def __init__(self, person: Person | None = None) -> None:
        self.client = Client()
        if person is not None:
            self.client.force_login(person)
        self.response: HttpResponse | None = None
        self.url = ""

    def get(self, url: str) -> HttpResponse:
        return self._keep(url, self.client.get(url))

    def post(self, url: str, data: dict[str, Any]) -> HttpResponse:
        return self._keep(url, self.client.post(url, data))

    @property
    def page(self) -> Page:
        assert self.response is not None
        return Page(self.response)

    def press(self, name: str, value: str | None = None, /, **typed: Any) -> HttpResponse:
        """Fill in and send the form with that living button, as the page has it."""
        form = self.page.form_with(name, value)
        assert form is not None, f"No living button {name}={value} on {self.url}: {self.page.text[:500]}"
        button = form.button(name, value)
        assert button is not None
        data = {**form.values, **typed}
        if button.name:
            data[button.name] = button.value
        return self.post(form.action or self.url, data)

    def follow(self) -> HttpResponse:
        """Go where the answer leads."""
        assert self.response is not None and self.response.status_code == 302, self.response
        return self.get(self.response["Location"])

    def _keep(self, url: str, response: Any) -> HttpResponse:
        self.url, self.response = url, response
        return response
