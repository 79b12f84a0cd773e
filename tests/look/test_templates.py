"""Every template: it compiles, it obeys the content security policy, its words can be translated."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.template.loader import get_template

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = sorted(
    (path, path.relative_to(ROOT / app / "templates").as_posix())
    for app in ("shopqc", "housings", "inspections")
    for path in (ROOT / app / "templates").rglob("*.html")
)
EACH = pytest.mark.parametrize(("path", "name"), TEMPLATES, ids=[name for _path, name in TEMPLATES])

COMMENT = re.compile(r"{% comment %}.*?{% endcomment %}|{#.*?#}|<!--.*?-->", re.S)
TRANSLATED = re.compile(r"{% blocktranslate\b.*?{% endblocktranslate %}", re.S)
# Names of attributes whose values people read.
READ = re.compile(r'\s(?:title|alt|placeholder|aria-label|data-label)="([^"]*)"')


@EACH
def test_a_template_compiles(path: Path, name: str) -> None:
    assert get_template(name).template.name == name


@EACH
def test_a_template_asks_for_nothing_the_policy_forbids(path: Path, name: str) -> None:
    text = COMMENT.sub("", path.read_text())
    assert not re.search(r"<style\b|\sstyle=", text), "a style in the page"
    assert not re.search(r"<[^>]*\son[a-z]+=", text), "a handler in the page"
    for script in re.findall(r"<script\b[^>]*>", text):
        assert "src=" in script, script
    assert not re.search(r"""(?:src|href)=["'](?:https?:)?//""", text), "something from another server"


@EACH
def test_the_words_of_a_template_can_be_translated(path: Path, name: str) -> None:
    text = TRANSLATED.sub("", COMMENT.sub("", path.read_text()))
    read_attributes = " ".join(READ.findall(text))
    bare = re.sub(r"<[^>]*>", " ", re.sub(r"{%.*?%}|{{.*?}}", "", text, flags=re.S), flags=re.S)
    bare += re.sub(r"{%.*?%}|{{.*?}}", "", read_attributes, flags=re.S)
    # Up to two letters are units, which are the same in every language.
    words = re.findall(r"[^\W\d_]{3,}", re.sub(r"&[a-z]+;", " ", bare))
    assert not words, words
