"""The harness itself: pages open on every device, with and without scripts."""

import pytest

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.mark.parametrize(("device", "width"), [("phone", 412), ("tablet", 712), ("desktop", 1280)])
def test_a_page_has_the_width_of_its_device(site, open_page, device, width):
    page = open_page(device)
    page.goto(f"{site.url}/health/")
    assert "well" in page.content()
    assert page.evaluate("screen.width") == width


def test_without_scripts_a_page_runs_none(site, without_scripts):
    without_scripts.goto(f"{site.url}/health/")
    without_scripts.set_content("<p>plain</p><script>document.body.textContent = 'ran'</script>")
    assert without_scripts.locator("p").inner_text() == "plain"
