"""What changes with rating scales and protocols."""

from collections.abc import Sequence

from service.office.people.queries import doer
from service.science import units
from service.store import named
from service.store.session import WriteSession
from service.workshop.materials.queries import named_in_body
from service.workshop.panels._tables import (
    Protocol,
    ProtocolTest,
    ProtocolVersion,
    RatingScale,
    ScaleValue,
)
from service.workshop.panels.actions.amounts import kept
from service.workshop.panels.bodies.protocols import (
    ProtocolIn,
    ProtocolVersionIn,
    RatingScaleIn,
    TestIn,
)
from service.workshop.panels.queries.protocols import protocol, version_numbers
from service.workshop.panels.queries.scales import scale_in_body


def create_scale(session: WriteSession, wanted: RatingScaleIn) -> RatingScale:
    """Raises CodeTaken."""
    named.check_free(session, RatingScale, wanted.code)
    said = wanted.model_dump(exclude={"values"})
    row = RatingScale(**said, created_at=session.now)
    session.add(row)
    session.flush()  # its values point at it
    session.add_all(ScaleValue(scale=row.code, **value.model_dump()) for value in wanted.values)
    session.flush()  # the answer shows them
    return row


def create_protocol(session: WriteSession, wanted: ProtocolIn) -> Protocol:
    """A protocol with its first version. Raises CodeTaken."""
    named.check_free(session, Protocol, wanted.code)
    row = Protocol(code=wanted.code, name=wanted.name, created_at=session.now)
    session.add(row)
    session.flush()  # its version points at it
    _add_version(session, row, 1, wanted=wanted)
    return row


def create_version(session: WriteSession, code: str, wanted: ProtocolVersionIn) -> Protocol:
    """The next version of a protocol. Raises UnknownProtocol."""
    row = protocol(session, code)
    newest = version_numbers(session, row.code)[-1]
    _add_version(session, row, newest + 1, wanted=wanted)
    return row


def _add_version(
    session: WriteSession, held: Protocol, number: int, *, wanted: ProtocolVersionIn
) -> None:
    row = ProtocolVersion(
        protocol=held.code,
        number=number,
        method=wanted.method,
        created_at=session.now,
        created_by=doer(session, wanted.by),
    )
    _check_references(session, wanted.tests)
    session.add(row)
    session.flush()  # its tests point at it
    session.add_all(_test(row.row_id, test) for test in wanted.tests)
    session.flush()  # the answer shows them


def _check_references(session: WriteSession, tests: Sequence[TestIn]) -> None:
    for place, test in enumerate(tests):
        if test.reagent is not None:
            named_in_body(session, test.reagent, pointer=f"#/tests/{place}/reagent")
        if test.scale is not None:
            scale_in_body(session, test.scale, pointer=f"#/tests/{place}/scale")


def _test(version: int, wanted: TestIn) -> ProtocolTest:
    said = wanted.model_dump(exclude={"contact", "temperature"})
    return ProtocolTest(
        version=version,
        **said,
        contact_seconds=wanted.contact and int(units.canonical(wanted.contact)),
        temperature_c=kept(wanted.temperature),
    )
