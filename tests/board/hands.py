"""What a user does with the page: in metres of the plan."""

from typing import Any


def screen(page: Any, x: float, y: float) -> tuple[float, float]:
    """Where a point of the plan lies on the screen."""
    spot = page.evaluate(
        """([x, y]) => {
          const svg = document.querySelector("#sheet");
          const p = new DOMPoint(x, -y).matrixTransform(svg.getScreenCTM());
          return [p.x, p.y];
        }""",
        [x, y],
    )
    return spot[0], spot[1]


def press(page: Any, x: float, y: float) -> None:
    page.mouse.click(*screen(page, x, y))


def drag(page: Any, start: tuple[float, float], end: tuple[float, float], steps: int = 6, key: str = "") -> None:
    """From one point of the plan to another, with a key held down."""
    here, there = screen(page, *start), screen(page, *end)
    if key:
        page.keyboard.down(key)
    page.mouse.move(*here)
    page.mouse.down()
    page.mouse.move(*there, steps=steps)
    page.mouse.up()
    if key:
        page.keyboard.up(key)


def settled(page: Any) -> None:
    """Until the newest plan has been judged for every class and is in the file."""
    page.wait_for_selector("#saved >> text=/^(saved|gespeichert|enregistré)$/")
    judged(page)


def judged(page: Any) -> None:
    """Until the newest plan has been judged."""
    page.wait_for_selector("body:not([data-judging])")


def verdict(page: Any) -> str:
    return str(page.text_content("#verdict"))


def at(page: Any, name: str) -> str:
    """Where an obstacle is drawn."""
    return str(page.get_attribute(f"[data-id='{name}']", "transform"))


def chosen(page: Any) -> list[str]:
    return [str(node.get_attribute("data-id")) for node in page.query_selector_all(".obstacle[aria-pressed=true]")]
