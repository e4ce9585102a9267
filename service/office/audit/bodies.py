"""Bodies of the audit trail."""

from typing import Any

from service.web.fields import Out, Utc


class AuditEntryOut(Out):
    """One changed row; `link` numbers the transaction it belongs to."""

    link: int
    at: Utc
    operation: str
    key_id: str | None
    by: str | None
    act: str
    kind: str
    subject: str
    before: dict[str, Any] | None
    after: dict[str, Any] | None
