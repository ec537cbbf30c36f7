"""Jobs that hold as much as a file allows of everything that a client is told, and firms with as much to say of themselves."""

from engine.calc.units import Units
from engine.job.model.job import Job
from engine.job.model.people import Dog
from engine.job.model.signed_record import BuiltGate, LeftAsFound, LeftSleeve, Record
from engine.paper.firm.firm_facts import Firm, FirmOnPage
from tests.bench.big_job import big_job
from tests.demo import AT
from tests.paper.photos.pictures import picture
from tests.paper.test_sealed_facts import signed_off

STOPS, GATES, SLEEVES, NOTES = 60, 12, 150, 40
SAID = "Between P4 and P5 the apron is too short and a dog that digs gets out under the wire beside the old wall. "


def long(letters: int, words: str = SAID) -> str:
    """Words of so many letters."""
    return (words * (letters // len(words) + 1))[:letters].strip()


def firm(letters: int = 200, lines: int = 1) -> FirmOnPage:
    """Every field at its limit, the warranty in so many lines."""
    whole = long(1_500, "Posts, sleeves and cables are warranted for five years. ")
    step = 1_500 // lines
    warranty = "\n".join(whole[at : at + step - 1] for at in range(0, step * lines, step))
    said = {name: long(letters, f"{name} of the firm ") for name in ("name", "phone", "address", "licence", "call")}
    return FirmOnPage(Firm(**said, warranty=warranty), picture(480, 160))


def worst(units: Units = "feet-inches", yards: int = 1, *, reasons: int = 2_000, says: int = 2_000) -> Job:
    """A signed job with stops, gates, sleeves left and notes by the dozen, and all that people write as long as it may be."""
    job = big_job(yards)
    who = job.job.model_copy(update={
        "number": long(200, "Number "), "title": long(200, "The yard behind "), "client": "\n".join(["Line"] * 400), "site": long(2_000),
        "crew": tuple(long(200, "Lead ") for _ in range(20)), "units": units,
    })  # fmt: skip
    dogs = {f"dog{n}": Dog(weight_lb=60, shoulder_in=24, body_in=33, jumps=True, climbs=True, digs=True, chews=True) for n in range(40)}
    job = signed_off(job.model_copy(update={"job": who, "dogs": {**job.dogs, **dogs}}))
    assert job.record is not None
    return job.model_copy(update={"record": _filled(job.record, reasons, says)})


def _filled(record: Record, reasons: int, says: int) -> Record:
    keys = {f"way_out:under:P{n}-P{n + 1}": "stop" for n in range(STOPS)} | {f"apron_short:P{n}": "fix" for n in range(30)}
    posts = list(record.supports)
    places = list(record.supports.values())
    gates = {f"gate-{n}": BuiltGate(hinge_post=posts[n], latch_post=posts[n + 1], leaves=1 + n % 2, opening_ft=5.17) for n in range(GATES)}
    sleeves = {
        f"S{n}": LeftSleeve(
            what=long(200, "post moved "), at=AT, line="ring", station_ft=3.0 * n,
            tie_a=f"{n}' 5 1/2\" from A1",
            tie_b=f"101' 10 3/4\" from C{1 + n % 2}", east_ft=places[n % len(places)].east_ft + n,
            north_ft=places[n % len(places)].north_ft,
        )
        for n in range(SLEEVES)
    }  # fmt: skip
    return record.model_copy(update={
        "signed_by": long(200, "Mo Teal "), "accepted_by": long(200, "the client "), "told_by": long(200, "Ana "),
        "found_open": {key: LeftAsFound(level=level, says=f"{n + 1}. {long(says - 4)}") for n, (key, level) in enumerate(keys.items())},
        "left_open": {key: long(reasons, "it comes on Monday ") for key in (*keys, "punch_unfinished:job")},
        "notes": {f"near_boundary:L{n}": long(says) for n in range(NOTES)},
        "gates": {**gates, **record.gates}, "sleeves_left": sleeves,
    })  # fmt: skip
