"""The pages of last resort: they stand when nothing else does."""

import pytest
from django.template.loader import render_to_string


@pytest.mark.parametrize("name", ["400.html", "403.html", "403_csrf.html", "404.html", "500.html"])
def test_it_renders_without_a_request_or_a_database(name: str) -> None:
    page = render_to_string(name)
    assert page.count("<h1>") == 1
    assert 'class="do"' in page, "says where to go next"
    assert "Sign in" not in page, "does not claim to know who is asking"
