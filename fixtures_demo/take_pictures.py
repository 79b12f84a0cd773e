"""Takes the README's pictures from a served demo: ``python -m fixtures_demo.take_pictures ADDRESS``.

Needs the test group (playwright, Debian's chromium) and pdftoppm. ``SHOPQC_HOME`` names the demo's home, the
first argument its address, such as http://127.0.0.1:8000. Run it right after the demo was loaded: the snout
bench is shown as it is then.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, Page, ViewportSize, sync_playwright

from fixtures_demo.generate import HERE, load

PICTURES = HERE / "pictures"
# The housing whose face can only just be saved, and the first page of whose certificate is shown.
AT_THE_MILL, SIGNED = "d2", "c1"
CHROMIUM = "/usr/bin/chromium"
ON_A_PHONE: ViewportSize = {"width": 380, "height": 740}
# A small tablet, as it hangs at the bench: as many dots as the phone's picture, and more lines.
ON_A_TABLET: ViewportSize = {"width": 570, "height": 1110}


def main(address: str, home: Path) -> None:
    answers = load(home / "demo-progress.json")
    walk = load(HERE / "walks.json")[AT_THE_MILL]
    serial = answers[f"order {walk['order']}"]["housings"][walk["place"]]["serial"]
    token = next(text for step, text in answers.items() if step.startswith("token "))
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        bench = signed_in(browser, address, token, "W1", ON_A_TABLET, scale=1)
        bench.goto(f"{address}/weld/")
        bench.screenshot(path=PICTURES / "bench-clock.png")
        mill = signed_in(browser, address, token, "M1", ON_A_PHONE, scale=1.5)
        mill.goto(f"{address}/h/{serial}/facing/")
        mill.screenshot(path=PICTURES / "station-on-a-phone.png")
        browser.close()
    number = answers[f"{SIGNED} sign-off"]["certificate"]
    paper = home / "papers" / f"certificate-{number}.pdf"
    command = ["pdftoppm", "-r", "72", "-gray", "-png", "-f", "1", "-singlefile", str(paper)]
    subprocess.run([*command, str(PICTURES / "certificate")], check=True)
    screens = (("bench-clock.png", 48), ("station-on-a-phone.png", 24))
    for name, colors in (*screens, ("certificate.png", 8)):
        # Flat colors: a small palette halves the files.
        with Image.open(PICTURES / name) as picture:
            picture.convert("RGB").quantize(colors).save(PICTURES / name, optimize=True)


def signed_in(
    browser: Browser, address: str, token: str, stamp: str, size: ViewportSize, *, scale: float
) -> Page:
    """A device of the shop on which somebody has signed in."""
    person = next(one for one in load(HERE / "shop.json")["people"] if one["stamp"] == stamp)
    page = browser.new_context(viewport=size, device_scale_factor=scale, is_mobile=True).new_page()
    page.goto(f"{address}/device/{token}/")
    page.locator("main .do").click()
    page.fill("[name=badge]", person["badge"])
    page.fill("[name=pin]", person["pin"])
    page.locator("main .do").click()
    page.wait_for_selector(".who form")
    return page


if __name__ == "__main__":
    main(sys.argv[1], Path(os.environ["SHOPQC_HOME"]))
