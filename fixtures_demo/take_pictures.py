"""Takes the README's pictures from a served demo: ``python -m fixtures_demo.take_pictures ADDRESS``.

Needs the test group (playwright, Debian's chromium) and pdftoppm. ``SHOPQC_HOME`` names the demo's home, the
first argument its address, such as http://127.0.0.1:8000.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from PIL import Image
from playwright.sync_api import ViewportSize, sync_playwright

from fixtures_demo.generate import HERE, load

PICTURES = HERE / "pictures"
# The housing whose face can only just be saved, and the first page of whose certificate is shown.
AT_THE_MILL, SIGNED = "d2", "c1"
CHROMIUM = "/usr/bin/chromium"
ON_A_PHONE: ViewportSize = {"width": 380, "height": 740}


def main(address: str, home: Path) -> None:
    answers = load(home / "demo-progress.json")
    walk = load(HERE / "walks.json")[AT_THE_MILL]
    serial = answers[f"order {walk['order']}"]["housings"][walk["place"]]["serial"]
    token = next(text for step, text in answers.items() if step.startswith("token "))
    machinist = next(one for one in load(HERE / "shop.json")["people"] if one["stamp"] == "M1")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        page = browser.new_context(viewport=ON_A_PHONE, device_scale_factor=1.5, is_mobile=True).new_page()
        page.goto(f"{address}/device/{token}/")
        page.locator("main .do").click()
        page.fill("[name=badge]", machinist["badge"])
        page.fill("[name=pin]", machinist["pin"])
        page.locator("main .do").click()
        page.wait_for_selector(".who form")
        page.goto(f"{address}/h/{serial}/facing/")
        page.screenshot(path=PICTURES / "station-on-a-phone.png")
        browser.close()
    number = answers[f"{SIGNED} sign-off"]["certificate"]
    paper = home / "papers" / f"certificate-{number}.pdf"
    command = ["pdftoppm", "-r", "72", "-gray", "-png", "-f", "1", "-singlefile", str(paper)]
    subprocess.run([*command, str(PICTURES / "certificate")], check=True)
    for name, colors in (("station-on-a-phone.png", 24), ("certificate.png", 8)):
        # Flat colors: a small palette halves the files.
        with Image.open(PICTURES / name) as picture:
            picture.convert("RGB").quantize(colors).save(PICTURES / name, optimize=True)


if __name__ == "__main__":
    main(sys.argv[1], Path(os.environ["SHOPQC_HOME"]))
