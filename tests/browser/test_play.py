"""The page to play with, opened from a file, without a net: keys and finger change what it shows."""

from __future__ import annotations

import pytest

from pithline.saw.planning import plan as planned
from pithline.sheets.play_page import play_data, play_page
from tests.strategies import case


@pytest.fixture(scope="module")
def made():
    job = case(11, step=0.005)
    plan = planned(job.shape, job.lie, job.mill, job.aims, job.rates, job.timber, compare=False)
    return play_page(plan, job.timber, "oak"), play_data(plan, job.timber)


def test_turning_and_moving_the_first_cut_shows_the_plans_of_the_page(browser, made, tmp_path, size):
    html, data = made
    file = tmp_path / "oak.html"
    file.write_text(html, encoding="utf-8")
    context = browser.new_context(viewport=size, offline=True, color_scheme="dark")
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto(file.as_uri())

    def shown() -> str:
        return page.inner_text("#net").replace("−", "-")

    def said(r: int, c: int) -> str:
        net = data["rolls"][r]["plans"][c][0]
        return (
            f"{data['currency']} {round(net):,}"
            if data["currency"]
            else f"{round(net):,} {data['tally_unit']}"
        )

    r, c = data["planned"]
    assert shown() == said(r, c)
    page.focus("#cut")
    page.keyboard.press("ArrowRight")
    assert shown() == said(r, c + 1)
    page.click("#planned")
    assert shown() == said(r, c)
    grip = page.locator("#butt .grip").bounding_box()
    assert grip
    x, y = grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y + 20, steps=4)
    page.mouse.up()
    moved = int(page.input_value("#cut"))
    assert moved > c
    assert shown() == said(r, moved)
    page.click("#turn")
    best = max(roll["plans"][roll["best"]][0] for roll in data["rolls"] if roll["plans"])
    assert shown() == f"{data['currency']} {round(best):,}"
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
    assert not faults
    context.close()
