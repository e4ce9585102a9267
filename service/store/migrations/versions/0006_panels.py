"""panels"""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "protocols",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=20), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("archived_at", sa.DateTime(), nullable=True),
        sa.Column("folded", sa.String(length=600), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_protocols")),
    )
    op.create_index(op.f("ix_protocols_code"), "protocols", ["code"], unique=True)
    op.create_table(
        "rating_scales",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=20), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("archived_at", sa.DateTime(), nullable=True),
        sa.Column("folded", sa.String(length=600), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("best", sa.String(length=12), nullable=False),
        sa.Column("worst", sa.String(length=12), nullable=False),
        sa.Column("source", sa.String(length=200), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_rating_scales")),
    )
    op.create_index(op.f("ix_rating_scales_code"), "rating_scales", ["code"], unique=True)
    op.create_table(
        "protocol_versions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("protocol", sa.String(length=20), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("method", sa.String(length=300), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("created_by", sa.String(length=20), nullable=True),
        sa.ForeignKeyConstraint(
            ["created_by"], ["people.code"], name=op.f("fk_protocol_versions_created_by")
        ),
        sa.ForeignKeyConstraint(
            ["protocol"], ["protocols.code"], name=op.f("fk_protocol_versions_protocol")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_protocol_versions")),
        sa.UniqueConstraint(
            "protocol", "number", name=op.f("uq_protocol_versions_protocol_number")
        ),
    )
    op.create_index(
        op.f("ix_protocol_versions_protocol"), "protocol_versions", ["protocol"], unique=False
    )
    op.create_table(
        "scale_values",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("scale", sa.String(length=20), nullable=False),
        sa.Column("value", sa.String(length=12), nullable=False),
        sa.Column("rank", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(length=300), nullable=False),
        sa.ForeignKeyConstraint(
            ["scale"], ["rating_scales.code"], name=op.f("fk_scale_values_scale")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_scale_values")),
        sa.UniqueConstraint("scale", "value", name=op.f("uq_scale_values_scale_value")),
    )
    op.create_index(op.f("ix_scale_values_scale"), "scale_values", ["scale"], unique=False)
    op.create_table(
        "protocol_tests",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=8), nullable=False),
        sa.Column("test", sa.String(length=20), nullable=False),
        sa.Column("tried", sa.String(length=80), nullable=False),
        sa.Column("reagent", sa.String(length=20), nullable=True),
        sa.Column("mode", sa.String(length=16), nullable=False),
        sa.Column("contact_seconds", sa.Integer(), nullable=True),
        sa.Column("rubs", sa.Integer(), nullable=True),
        sa.Column("temperature_c", sa.BigInteger(), nullable=True),
        sa.Column("scale", sa.String(length=20), nullable=True),
        sa.Column("own_method", sa.Boolean(), nullable=False),
        sa.Column("method", sa.String(length=200), nullable=True),
        sa.ForeignKeyConstraint(
            ["reagent"], ["materials.code"], name=op.f("fk_protocol_tests_reagent")
        ),
        sa.ForeignKeyConstraint(
            ["scale"], ["rating_scales.code"], name=op.f("fk_protocol_tests_scale")
        ),
        sa.ForeignKeyConstraint(
            ["version"], ["protocol_versions.id"], name=op.f("fk_protocol_tests_version")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_protocol_tests")),
        sa.UniqueConstraint("version", "at", name=op.f("uq_protocol_tests_version_at")),
        sa.UniqueConstraint("version", "test", name=op.f("uq_protocol_tests_version_test")),
    )
    op.create_index(op.f("ix_protocol_tests_version"), "protocol_tests", ["version"], unique=False)
    op.create_table(
        "panels",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=20), nullable=False),
        sa.Column("lot", sa.Integer(), nullable=False),
        sa.Column("lot_number", sa.String(length=20), nullable=False),
        sa.Column("wood", sa.String(length=200), nullable=False),
        sa.Column("cure", sa.String(length=300), nullable=True),
        sa.Column("by", sa.String(length=20), nullable=True),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("folded", sa.String(length=600), nullable=False),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_panels_by")),
        sa.ForeignKeyConstraint(["lot"], ["lots.id"], name=op.f("fk_panels_lot")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_panels")),
        sa.UniqueConstraint("code", name=op.f("uq_panels_code")),
    )
    op.create_index(op.f("ix_panels_lot"), "panels", ["lot"], unique=False)
    op.create_index(op.f("ix_panels_lot_number"), "panels", ["lot_number"], unique=False)
    op.create_table(
        "coats",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("by", sa.String(length=20), nullable=True),
        sa.Column("happened_at", sa.DateTime(), nullable=False),
        sa.Column("entered_at", sa.DateTime(), nullable=False),
        sa.Column("entered_from", sa.String(length=12), nullable=False),
        sa.Column("about_seconds", sa.Integer(), nullable=True),
        sa.Column("corrects", sa.Integer(), nullable=True),
        sa.Column("void", sa.Boolean(), nullable=False),
        sa.Column("reason", sa.String(length=600), nullable=True),
        sa.Column("panel", sa.Integer(), nullable=False),
        sa.Column("coat", sa.Integer(), nullable=False),
        sa.Column("lot", sa.Integer(), nullable=False),
        sa.Column("coated_on", sa.Date(), nullable=False),
        sa.Column("wet_g_per_m2", sa.BigInteger(), nullable=True),
        sa.Column("how", sa.String(length=200), nullable=True),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_coats_by")),
        sa.ForeignKeyConstraint(["lot"], ["lots.id"], name=op.f("fk_coats_lot")),
        sa.ForeignKeyConstraint(["panel"], ["panels.id"], name=op.f("fk_coats_panel")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_coats")),
    )
    op.create_index(op.f("ix_coats_corrects"), "coats", ["corrects"], unique=False)
    op.create_index(op.f("ix_coats_happened_at"), "coats", ["happened_at"], unique=False)
    op.create_index(op.f("ix_coats_lot"), "coats", ["lot"], unique=False)
    op.create_index(op.f("ix_coats_panel"), "coats", ["panel"], unique=False)
    op.create_table(
        "readings",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("by", sa.String(length=20), nullable=True),
        sa.Column("happened_at", sa.DateTime(), nullable=False),
        sa.Column("entered_at", sa.DateTime(), nullable=False),
        sa.Column("entered_from", sa.String(length=12), nullable=False),
        sa.Column("about_seconds", sa.Integer(), nullable=True),
        sa.Column("corrects", sa.Integer(), nullable=True),
        sa.Column("void", sa.Boolean(), nullable=False),
        sa.Column("reason", sa.String(length=600), nullable=True),
        sa.Column("number", sa.String(length=20), nullable=False),
        sa.Column("lot", sa.Integer(), nullable=False),
        sa.Column("lot_number", sa.String(length=20), nullable=False),
        sa.Column("panel", sa.Integer(), nullable=True),
        sa.Column("at", sa.String(length=8), nullable=True),
        sa.Column("trial", sa.Integer(), nullable=False),
        sa.Column("protocol", sa.String(length=20), nullable=True),
        sa.Column("version", sa.Integer(), nullable=True),
        sa.Column("test", sa.String(length=30), nullable=False),
        sa.Column("tried", sa.String(length=80), nullable=True),
        sa.Column("read_on", sa.Date(), nullable=False),
        sa.Column("coats", sa.Integer(), nullable=True),
        sa.Column("age_days", sa.Integer(), nullable=True),
        sa.Column("temperature_c", sa.BigInteger(), nullable=True),
        sa.Column("humidity", sa.BigInteger(), nullable=True),
        sa.Column("value", sa.BigInteger(), nullable=True),
        sa.Column("entered_value", sa.String(length=30), nullable=True),
        sa.Column("entered_unit", sa.String(length=20), nullable=True),
        sa.Column("method", sa.String(length=300), nullable=True),
        sa.Column("scale", sa.String(length=20), nullable=True),
        sa.Column("rating", sa.String(length=12), nullable=True),
        sa.Column("remark", sa.String(length=600), nullable=True),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_readings_by")),
        sa.ForeignKeyConstraint(["lot"], ["lots.id"], name=op.f("fk_readings_lot")),
        sa.ForeignKeyConstraint(["panel"], ["panels.id"], name=op.f("fk_readings_panel")),
        sa.ForeignKeyConstraint(
            ["protocol"], ["protocols.code"], name=op.f("fk_readings_protocol")
        ),
        sa.ForeignKeyConstraint(["scale"], ["rating_scales.code"], name=op.f("fk_readings_scale")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_readings")),
        sa.UniqueConstraint("number", name=op.f("uq_readings_number")),
    )
    op.create_index(op.f("ix_readings_corrects"), "readings", ["corrects"], unique=False)
    op.create_index(op.f("ix_readings_happened_at"), "readings", ["happened_at"], unique=False)
    op.create_index(op.f("ix_readings_lot"), "readings", ["lot"], unique=False)
    op.create_index(op.f("ix_readings_lot_number"), "readings", ["lot_number"], unique=False)
    op.create_index(op.f("ix_readings_panel"), "readings", ["panel"], unique=False)
    op.create_index(op.f("ix_readings_test"), "readings", ["test"], unique=False)
    op.create_table(
        "effects",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("reading", sa.Integer(), nullable=False),
        sa.Column("effect", sa.String(length=40), nullable=False),
        sa.Column("extent", sa.String(length=20), nullable=True),
        sa.Column("gone_after_seconds", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["reading"], ["readings.id"], name=op.f("fk_effects_reading")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_effects")),
    )
    op.create_index(op.f("ix_effects_reading"), "effects", ["reading"], unique=False)


def downgrade() -> None:
    op.drop_index(op.f("ix_effects_reading"), table_name="effects")
    op.drop_table("effects")
    op.drop_index(op.f("ix_readings_test"), table_name="readings")
    op.drop_index(op.f("ix_readings_panel"), table_name="readings")
    op.drop_index(op.f("ix_readings_lot_number"), table_name="readings")
    op.drop_index(op.f("ix_readings_lot"), table_name="readings")
    op.drop_index(op.f("ix_readings_happened_at"), table_name="readings")
    op.drop_index(op.f("ix_readings_corrects"), table_name="readings")
    op.drop_table("readings")
    op.drop_index(op.f("ix_coats_panel"), table_name="coats")
    op.drop_index(op.f("ix_coats_lot"), table_name="coats")
    op.drop_index(op.f("ix_coats_happened_at"), table_name="coats")
    op.drop_index(op.f("ix_coats_corrects"), table_name="coats")
    op.drop_table("coats")
    op.drop_index(op.f("ix_panels_lot_number"), table_name="panels")
    op.drop_index(op.f("ix_panels_lot"), table_name="panels")
    op.drop_table("panels")
    op.drop_index(op.f("ix_protocol_tests_version"), table_name="protocol_tests")
    op.drop_table("protocol_tests")
    op.drop_index(op.f("ix_scale_values_scale"), table_name="scale_values")
    op.drop_table("scale_values")
    op.drop_index(op.f("ix_protocol_versions_protocol"), table_name="protocol_versions")
    op.drop_table("protocol_versions")
    op.drop_index(op.f("ix_rating_scales_code"), table_name="rating_scales")
    op.drop_table("rating_scales")
    op.drop_index(op.f("ix_protocols_code"), table_name="protocols")
    op.drop_table("protocols")
