"""What is read of protocols and their versions."""

from collections.abc import Iterable

from sqlalchemy import tuple_
from sqlmodel import col, select

from service.errors import Invalid, at
from service.science.rounding import plain
from service.store import named
from service.store.lists import Listing
from service.store.session import ReadSession
from service.web.fields import Amount
from service.workshop.panels._tables import Protocol, ProtocolTest, ProtocolVersion
from service.workshop.panels.bodies.protocols import ProtocolOut, ProtocolVersionOut, TestOut
from service.workshop.panels.rules import UnknownProtocol, UnknownProtocolVersion
from service.workshop.panels.rules.sentences import Exposure, duration, how

PROTOCOLS = Listing(
    "protocols", Protocol, sorts=("code", "name", "created_at"), default_sort="code"
)


def protocol(session: ReadSession, code: str) -> Protocol:
    """Raises UnknownProtocol."""
    return named.get(session, Protocol, code, missing=UnknownProtocol)


def protocol_in_body(session: ReadSession, code: str, *, pointer: str) -> Protocol:
    """A protocol named in a body. Raises Invalid at its pointer."""
    if (row := named.find(session, Protocol, code)) is None:
        wrong = f"There is no protocol {code}."
        hint = "Make it first: POST /v1/protocols, or look at its spelling."
        raise Invalid(wrong, at(pointer, wrong, "protocol-unknown", hint=hint))
    return row


def version_numbers(session: ReadSession, code: str) -> list[int]:
    """The versions of a protocol, the newest last."""
    wanted = select(ProtocolVersion.number).where(ProtocolVersion.protocol == code)
    return list(session.exec(wanted.order_by(col(ProtocolVersion.number))))


def version(session: ReadSession, code: str, number: int | None) -> ProtocolVersion:
    """A version of a protocol, the newest for None. Raises UnknownProtocolVersion."""
    wanted = select(ProtocolVersion).where(ProtocolVersion.protocol == code)
    if number is not None:
        wanted = wanted.where(ProtocolVersion.number == number)
    newest = wanted.order_by(col(ProtocolVersion.number).desc()).limit(1)
    if (row := session.exec(newest).first()) is None:
        raise UnknownProtocolVersion(f"{code} has no version {number}.")
    return row


def tests_of(session: ReadSession, code: str, number: int) -> list[ProtocolTest]:
    """The tests of one version, in the order of the protocol."""
    return tests_by_version(session, [(code, number)])[code, number]


def tests_by_version(
    session: ReadSession, versions: Iterable[tuple[str, int]]
) -> dict[tuple[str, int], list[ProtocolTest]]:
    """The tests of several versions (protocol, number), in one query."""
    wanted = set(versions)
    place = tuple_(col(ProtocolVersion.protocol), col(ProtocolVersion.number))
    rows = session.exec(
        select(ProtocolVersion, ProtocolTest)
        .where(col(ProtocolTest.version) == col(ProtocolVersion.id), place.in_(wanted))
        .order_by(col(ProtocolTest.id))
    )
    found: dict[tuple[str, int], list[ProtocolTest]] = {key: [] for key in wanted}
    for held, test in rows:
        found[held.protocol, held.number].append(test)
    return found


def exposure_of(test: ProtocolTest) -> Exposure:
    """A test as the sentences need it."""
    return Exposure(test.tried, test.mode, test.contact_seconds, test.rubs, test.method)


def shown_test(test: ProtocolTest) -> TestOut:
    contact, temperature = test.contact_seconds, test.temperature_c
    return TestOut(
        at=test.at,
        test=test.test,
        tried=test.tried,
        does=how(exposure_of(test)),
        reagent=test.reagent,
        mode=test.mode,
        contact=None if contact is None else lasting(contact),
        rubs=test.rubs,
        temperature=None if temperature is None else Amount(value=plain(temperature), unit="°C"),
        scale=test.scale,
        own_method=test.own_method,
        method=test.method,
    )


def lasting(seconds: int) -> Amount:
    """A time as an amount, in the unit that says it best."""
    value, unit, *more = duration(seconds).split(" ")
    if more:
        return Amount(value=str(seconds // 60), unit="min")
    return Amount(value=value, unit=unit)


def shown_version(session: ReadSession, row: ProtocolVersion) -> ProtocolVersionOut:
    held = protocol(session, row.protocol)
    return ProtocolVersionOut(
        protocol=held.code,
        name=held.name,
        version=row.number,
        method=row.method,
        tests=[shown_test(test) for test in tests_of(session, held.code, row.number)],
        created_at=row.created_at,
        created_by=row.created_by,
    )


def shown_protocol(session: ReadSession, row: Protocol) -> ProtocolOut:
    newest = shown_version(session, version(session, row.code, None))
    numbers = version_numbers(session, row.code)
    return ProtocolOut(**newest.model_dump(), code=row.code, versions=numbers)
