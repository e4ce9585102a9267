"""recipes at full depth: stages, losses, rules, proved bands"""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None

# The order of the work as it was fixed until stages had rows of their own.
_USUAL = ("melt", "cook", "dissolve", "mix", "thin", "other", "strain")
_LOSSES = {"loss_cook": ("cook", "fumes"), "loss_strain": ("strain", "straining")}
_OXYGEN = "oxygen"  # what a gain is put down to


def upgrade() -> None:
    _make_tables()
    _fill_stages(op.get_bind())
    # No batch here: much points at this table, so its columns are added and dropped in place.
    op.drop_column("versions", "loss_cook")
    op.drop_column("versions", "loss_strain")
    for column in _version_columns():
        op.add_column("versions", column)
    with op.batch_alter_table("lines") as table:
        table.alter_column("amount", existing_type=sa.BigInteger(), nullable=True)
        table.add_column(sa.Column("rule", sa.String(length=12), nullable=True))
        table.add_column(
            sa.Column("of_lines", sa.String(length=400), nullable=False, server_default="")
        )
        table.add_column(sa.Column("rule_on", sa.String(length=16), nullable=True))
        table.add_column(sa.Column("excess", sa.BigInteger(), nullable=True))
        table.add_column(sa.Column("tolerance", sa.BigInteger(), nullable=True))
        table.add_column(sa.Column("condition", sa.String(length=200), nullable=True))
    with op.batch_alter_table("lines") as table:
        table.alter_column("of_lines", server_default=None)
    op.add_column("steps", sa.Column("ramp_k_min", sa.BigInteger(), nullable=True))


def _version_columns() -> list[sa.Column]:
    return [
        sa.Column("retired_at", sa.DateTime(), nullable=True),
        sa.Column("retired_by", sa.String(length=20), nullable=True),
        sa.Column("retired_for", sa.String(length=600), nullable=True),
        sa.Column("came_from", sa.Integer(), nullable=True),
        sa.Column("why", sa.String(length=600), nullable=True),
        sa.Column("as_written", sa.String(length=8000), nullable=True),
        sa.Column("reconstructed", sa.Boolean(), nullable=False, server_default=sa.false()),
        sa.Column("labour_seconds", sa.Integer(), nullable=True),
        sa.Column("labour_for_mg", sa.BigInteger(), nullable=True),
    ]


def _make_tables() -> None:
    op.create_table(
        "stages",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("stage", sa.String(length=12), nullable=False),
        sa.Column("seconds", sa.Integer(), nullable=True),
        sa.Column("remark", sa.String(length=300), nullable=True),
        sa.ForeignKeyConstraint(["version"], ["versions.id"], name=op.f("fk_stages_version")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stages")),
        sa.UniqueConstraint("version", "stage", name=op.f("uq_stages_version_stage")),
    )
    op.create_index(op.f("ix_stages_version"), "stages", ["version"], unique=False)
    op.create_table(
        "losses",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("stage", sa.String(length=12), nullable=False),
        sa.Column("cause", sa.String(length=12), nullable=False),
        sa.Column("percent", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["version"], ["versions.id"], name=op.f("fk_losses_version")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_losses")),
        sa.UniqueConstraint(
            "version", "stage", "cause", name=op.f("uq_losses_version_stage_cause")
        ),
    )
    op.create_index(op.f("ix_losses_version"), "losses", ["version"], unique=False)
    op.create_table(
        "proved_bands",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("material", sa.String(length=20), nullable=False),
        sa.Column("property", sa.String(length=30), nullable=False),
        sa.Column("low", sa.BigInteger(), nullable=False),
        sa.Column("high", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(
            ["material"], ["materials.code"], name=op.f("fk_proved_bands_material")
        ),
        sa.ForeignKeyConstraint(["version"], ["versions.id"], name=op.f("fk_proved_bands_version")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_proved_bands")),
        sa.UniqueConstraint(
            "version",
            "material",
            "property",
            name=op.f("uq_proved_bands_version_material_property"),
        ),
    )
    op.create_index(op.f("ix_proved_bands_version"), "proved_bands", ["version"], unique=False)


def _fill_stages(bind: sa.Connection) -> None:
    """Every version gets the stages that its lines, steps and losses stand in."""
    versions = bind.execute(sa.text("select id, loss_cook, loss_strain from versions")).all()
    for version, *losses in versions:
        both = "select stage from lines where version = :version union "
        both += "select stage from steps where version = :version"
        used = {stage for (stage,) in bind.execute(sa.text(both), {"version": version})}
        for (stage, cause), percent in zip(_LOSSES.values(), losses, strict=True):
            if percent is not None:
                used.add(stage)
                row = {"version": version, "stage": stage, "percent": percent}
                row["cause"] = cause if percent >= 0 else _OXYGEN
                _insert(bind, "losses", row)
        for position, stage in enumerate((one for one in _USUAL if one in used), 1):
            _insert(bind, "stages", {"version": version, "position": position, "stage": stage})


def _insert(bind: sa.Connection, table: str, row: dict[str, object]) -> None:
    names = ", ".join(row)
    values = ", ".join(f":{name}" for name in row)
    bind.execute(sa.text(f"insert into {table} ({names}) values ({values})"), row)


def downgrade() -> None:
    bind = op.get_bind()
    op.drop_column("steps", "ramp_k_min")
    bind.execute(sa.text("delete from lines where amount is null"))
    bind.execute(sa.text("update lines set basis = 'parts' where basis = 'rule'"))
    with op.batch_alter_table("lines") as table:
        for name in ("rule", "of_lines", "rule_on", "excess", "tolerance", "condition"):
            table.drop_column(name)
        table.alter_column("amount", existing_type=sa.BigInteger(), nullable=False)
    for added in _version_columns():
        op.drop_column("versions", added.name)
    for column in _LOSSES:
        op.add_column("versions", sa.Column(column, sa.BigInteger(), nullable=True))
    for column, (stage, _) in _LOSSES.items():
        bind.execute(
            sa.text(
                f"update versions set {column} = (select sum(percent) from losses "
                "where losses.version = versions.id and losses.stage = :stage)"
            ),
            {"stage": stage},
        )
    for name in ("proved_bands", "losses", "stages"):
        op.drop_index(op.f(f"ix_{name}_version"), table_name=name)
        op.drop_table(name)
