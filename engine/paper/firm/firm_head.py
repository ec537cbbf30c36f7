"""The firm at the head of a page, and the lines that people sign on; places to write by hand where nobody said who the firm is."""

from collections.abc import Iterator
from importlib.resources import files

from engine.paper.firm.firm_facts import FirmOnPage
from engine.paper.markup import element, escaped
from engine.paper.photos.photos_on_page import picture_markup

BY_HAND = "\u00a0"
"""What stands in a place to write in: an element without anything in it isn't closed for every reader of a page."""

MOST_PARTS = 8
"""Of the warranty that stand below one another; more run on."""
SIGN_HERE = ("For the firm", "The client")


def firm_style() -> str:
    """What the page's style sheet needs besides."""
    return files("engine.paper.firm").joinpath("firm.css").read_text(encoding="utf-8")


def firm_head(told: FirmOnPage | None) -> str:
    """Who the firm is."""
    if told is None:
        return element("div", *(_to_write(name) for name in ("Firm", "Phone", "Licence")), class_="firm")
    firm = told.firm
    says = [firm.address, f"Licence {firm.licence}" if firm.licence else "", f"Phone {firm.phone}"]
    logo = picture_markup(told.logo, f"Logo of {firm.name}") if told.logo else ""
    lines = (element("strong", escaped(firm.name)), element("span", escaped(" · ".join(filter(None, says)))))
    return element("div", logo, element("p", *lines), class_="firm")


def whom_to_call(told: FirmOnPage | None) -> Iterator[str]:
    """The phone to call, and whom to ask for."""
    if told is None:
        yield element("p", "A slack cable, a leaning post, a gate that doesn't latch, a dog that got out, work near the fence: call us.")
        yield element("p", _to_write("Ask for"), _to_write("Phone"), class_="firm")
        return
    firm = told.firm
    ask = f" {firm.call}" if firm.call else ""
    says = element("strong", escaped(f"{firm.name}, {firm.phone}."))
    yield element("p", says, escaped(ask))
    yield element(
        "p", "Call when a cable is slack, a post leans, a gate doesn't latch or a dog got out, and before anybody works near the fence."
    )


def warranty_words(told: FirmOnPage | None) -> Iterator[str]:
    """What the firm promises in its own words; nothing where it says nothing."""
    if told is None:
        yield from (element("p", BY_HAND, class_="line") for _ in range(2))
    elif told.firm.warranty:
        parts = [part.strip() for part in told.firm.warranty.splitlines() if part.strip()]
        yield from (element("p", escaped(part)) for part in (parts if len(parts) <= MOST_PARTS else (" \u00b7 ".join(parts),)))


def signatures(*people: str) -> str:
    """A line to sign on for each, with the day."""
    return element("div", *(element("p", _to_write(who, "long"), _to_write("Date")) for who in people), class_="signs")


def _to_write(name: str, class_: str = "") -> str:
    return element("span", f"{escaped(name)} ", element("span", BY_HAND, class_=f"write {class_}".strip()), class_="place")
