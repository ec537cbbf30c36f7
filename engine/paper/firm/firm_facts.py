"""What a firm says of itself for the pages it hands out; never a part of a job."""

from typing import Annotated, NamedTuple

from pydantic import AfterValidator, StringConstraints

from engine.job.errors import shown
from engine.job.model.base import Part, ShortText, leads_to_file


def _picture(name: str) -> str:
    if not leads_to_file(name):
        raise ValueError(
            f'"{shown(name)}" isn\'t a file beside this one. Write its name, such as logo.png, or pictures/logo.png in a folder'
        )
    return name


def _something(text: str) -> str:
    if not text:
        raise ValueError("the text is empty. Write it between the quotes")
    return text


Needed = Annotated[ShortText, AfterValidator(_something)]
Said = Annotated[ShortText, StringConstraints(min_length=1)]
WarrantyText = Annotated[str, StringConstraints(min_length=1, max_length=1_500)]


class Firm(Part):
    """A firm by its own words. `call` is whom to ask for and when, `warranty` its words as they are to be printed, `logo` a picture file
    beside the file that says so. What isn't said isn't printed."""

    name: Needed
    phone: Needed
    address: Said | None = None
    licence: Said | None = None
    call: Said | None = None
    warranty: WarrantyText | None = None
    logo: Annotated[ShortText, AfterValidator(_picture)] | None = None


class FirmOnPage(NamedTuple):
    """A firm with its logo as a small JPEG, empty where it has none."""

    firm: Firm
    logo: bytes = b""
