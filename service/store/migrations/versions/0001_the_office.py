"""the office"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "audit_head",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_audit_head")),
    )
    op.create_table(
        "audit_links",
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("before", sa.String(length=64), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_audit_links")),
    )
    op.create_table(
        "documents",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("subject", sa.String(length=60), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("canonical", sa.LargeBinary(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("supersedes", sa.Integer(), nullable=True),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        sa.Column("made_by", sa.String(length=20), nullable=True),
        sa.Column("service_version", sa.String(length=20), nullable=False),
        sa.Column("audit_head", sa.String(length=64), nullable=False),
        sa.ForeignKeyConstraint(
            ["supersedes"], ["documents.id"], name=op.f("fk_documents_supersedes")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_documents")),
        sa.UniqueConstraint(
            "kind", "subject", "revision", name=op.f("uq_documents_kind_subject_revision")
        ),
    )
    op.create_index(op.f("ix_documents_kind"), "documents", ["kind"], unique=False)
    op.create_index(op.f("ix_documents_sha256"), "documents", ["sha256"], unique=False)
    op.create_index(op.f("ix_documents_subject"), "documents", ["subject"], unique=False)
    op.create_table(
        "equipment",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=20), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("archived_at", sa.DateTime(), nullable=True),
        sa.Column("folded", sa.String(length=600), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=True),
        sa.Column("holds_ul", sa.BigInteger(), nullable=True),
        sa.Column("reads_to_mg", sa.BigInteger(), nullable=True),
        sa.Column("capacity_mg", sa.BigInteger(), nullable=True),
        sa.Column("calibrated_on", sa.Date(), nullable=True),
        sa.Column("calibrated_until", sa.Date(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_equipment")),
    )
    op.create_index(op.f("ix_equipment_code"), "equipment", ["code"], unique=True)
    op.create_index(op.f("ix_equipment_kind"), "equipment", ["kind"], unique=False)
    op.create_table(
        "idempotency",
        sa.Column("caller", sa.String(length=20), nullable=False),
        sa.Column("method", sa.String(length=8), nullable=False),
        sa.Column("path", sa.String(length=400), nullable=False),
        sa.Column("key", sa.String(length=200), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("status", sa.Integer(), nullable=False),
        sa.Column("headers", sa.String(), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("caller", "method", "path", "key", name=op.f("pk_idempotency")),
    )
    op.create_index("ix_idempotency_at", "idempotency", ["at"], unique=False)
    op.create_table(
        "people",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=20), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("archived_at", sa.DateTime(), nullable=True),
        sa.Column("folded", sa.String(length=600), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=True),
        sa.Column("role", sa.String(length=80), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_people")),
    )
    op.create_index(op.f("ix_people_code"), "people", ["code"], unique=True)
    op.create_table(
        "sequences",
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("last", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_sequences")),
    )
    op.create_table(
        "workshop",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=True),
        sa.Column("address", sa.String(length=600), nullable=True),
        sa.Column("telephone", sa.String(length=40), nullable=True),
        sa.Column("zone", sa.String(length=60), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=True),
        sa.Column("public_address", sa.String(length=200), nullable=True),
        sa.Column("vat_number", sa.String(length=40), nullable=True),
        sa.Column("markets", sa.String(length=400), nullable=False),
        sa.Column("languages", sa.String(length=400), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_workshop")),
    )
    op.create_table(
        "audit_entries",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("link", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("operation", sa.String(length=60), nullable=False),
        sa.Column("key", sa.String(length=20), nullable=True),
        sa.Column("person", sa.String(length=20), nullable=True),
        sa.Column("act", sa.String(length=8), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("subject", sa.String(length=60), nullable=False),
        sa.Column("before", sa.JSON(), nullable=True),
        sa.Column("after", sa.JSON(), nullable=True),
        sa.ForeignKeyConstraint(
            ["link"], ["audit_links.number"], name=op.f("fk_audit_entries_link")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_audit_entries")),
    )
    op.create_index(op.f("ix_audit_entries_at"), "audit_entries", ["at"], unique=False)
    op.create_index(op.f("ix_audit_entries_kind"), "audit_entries", ["kind"], unique=False)
    op.create_index(op.f("ix_audit_entries_link"), "audit_entries", ["link"], unique=False)
    op.create_index(
        op.f("ix_audit_entries_operation"), "audit_entries", ["operation"], unique=False
    )
    op.create_index(op.f("ix_audit_entries_subject"), "audit_entries", ["subject"], unique=False)
    op.create_table(
        "keys",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("public_id", sa.String(length=8), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("scopes", sa.String(length=400), nullable=False),
        sa.Column("person", sa.String(length=20), nullable=True),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("expires_at", sa.DateTime(), nullable=True),
        sa.Column("revoked_at", sa.DateTime(), nullable=True),
        sa.ForeignKeyConstraint(["person"], ["people.code"], name=op.f("fk_keys_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_keys")),
        sa.UniqueConstraint("public_id", name=op.f("uq_keys_public_id")),
    )
    op.create_table(
        "renderings",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("document", sa.Integer(), nullable=False),
        sa.Column("form", sa.String(length=12), nullable=False),
        sa.Column("status", sa.String(length=20), nullable=False),
        sa.Column("media", sa.String(length=60), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.Column("etag", sa.String(length=80), nullable=False),
        sa.ForeignKeyConstraint(
            ["document"], ["documents.id"], name=op.f("fk_renderings_document")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_renderings")),
        sa.UniqueConstraint("document", "form", name=op.f("uq_renderings_document_form")),
    )
    op.create_index(op.f("ix_renderings_document"), "renderings", ["document"], unique=False)

    # The one row of the workshop; what is not known is null.
    op.execute(
        "INSERT INTO workshop (id, revision, zone, markets, languages) "
        "VALUES (1, 1, 'UTC', '', 'en')"
    )


def downgrade() -> None:
    op.drop_index(op.f("ix_renderings_document"), table_name="renderings")
    op.drop_table("renderings")
    op.drop_table("keys")
    op.drop_index(op.f("ix_audit_entries_subject"), table_name="audit_entries")
    op.drop_index(op.f("ix_audit_entries_operation"), table_name="audit_entries")
    op.drop_index(op.f("ix_audit_entries_link"), table_name="audit_entries")
    op.drop_index(op.f("ix_audit_entries_kind"), table_name="audit_entries")
    op.drop_index(op.f("ix_audit_entries_at"), table_name="audit_entries")
    op.drop_table("audit_entries")
    op.drop_table("workshop")
    op.drop_table("sequences")
    op.drop_index(op.f("ix_people_code"), table_name="people")
    op.drop_table("people")
    op.drop_index("ix_idempotency_at", table_name="idempotency")
    op.drop_table("idempotency")
    op.drop_index(op.f("ix_equipment_kind"), table_name="equipment")
    op.drop_index(op.f("ix_equipment_code"), table_name="equipment")
    op.drop_table("equipment")
    op.drop_index(op.f("ix_documents_subject"), table_name="documents")
    op.drop_index(op.f("ix_documents_sha256"), table_name="documents")
    op.drop_index(op.f("ix_documents_kind"), table_name="documents")
    op.drop_table("documents")
    op.drop_table("audit_links")
    op.drop_table("audit_head")
