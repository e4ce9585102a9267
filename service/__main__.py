"""The command: serve, demo, keys, migrate, backup, verify, openapi."""

import json
import os
import sys
from typing import Any

import click

from service.settings import SettingProblem, Settings, from_environment


class Stop(click.ClickException):
    """A clear end with exit code 2."""

    exit_code = 2


def _settings(**flags: Any) -> Settings:
    try:
        return from_environment(os.environ, **flags)
    except SettingProblem as problem:
        raise Stop(str(problem)) from None


_DATABASE = click.option(
    "--database-url",
    help="sqlite:///file or postgresql://… (KETTLEMARK_DATABASE_URL).",
)


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="kettlemark", prog_name="kettlemark")
def main() -> None:
    """Records, arithmetic and data sheets for small-batch makers of finishes.

    Start with `kettlemark demo`; then `kettlemark serve` and `kettlemark keys create`.
    Settings come from flags and from KETTLEMARK_… variables.
    """


@main.command()
@click.option("--host", help="Address to listen on (KETTLEMARK_HOST; 127.0.0.1).")
@click.option("--port", type=int, help="Port to listen on (KETTLEMARK_PORT; 8000).")
@_DATABASE
@click.option("--workers", type=int, help="Processes on one database (KETTLEMARK_WORKERS; 1).")
def serve(**flags: Any) -> None:
    """Serve the API and the public pages.

    An absent SQLite file is created; an older database stops with exit code 2 and the name of the
    command that brings it up to date.
    """
    from service import running

    settings = _settings(**flags)
    try:
        fresh = running.prepare(settings)
    except running.Unfit as problem:
        raise Stop(str(problem)) from None
    if fresh:
        click.echo(fresh, err=True)
    try:
        running.serve(settings)
    except running.Unfit as problem:
        raise Stop(str(problem)) from None


@main.command()
@click.option("--folder", default="kettlemark-demo", show_default=True, help="Where it is made.")
@click.option("--port", type=int, help="Port to listen on (KETTLEMARK_PORT; 8000).")
@click.option("--once", is_flag=True, help="Play and check the scenario, then exit.")
@click.option("--json", "as_json", is_flag=True, help="One line of JSON: base_url, api_key, lots.")
def demo(folder: str, port: int | None, once: bool, as_json: bool) -> None:
    """Make a fresh database with an invented workshop, and serve it.

    The scenario is played through the service's own HTTP interface: a zinc resinate is made, a spar
    varnish is cooked from it, filled, tested, released and published.
    """
    from service import demo as scenario
    from service.running import Unfit

    settings = _settings(port=port)
    try:
        code = scenario.run(settings, folder=folder, once=once, as_json=as_json)
    except Unfit as problem:
        raise Stop(str(problem)) from None
    sys.exit(code)


@main.command()
@_DATABASE
def migrate(**flags: Any) -> None:
    """Bring a database to the present shape; a checked backup is written beside it first."""
    from service import running

    try:
        for line in running.bring_up(_settings(**flags).database_url):
            click.echo(line)
    except running.Unfit as problem:
        raise Stop(str(problem)) from None


@main.command()
@_DATABASE
def backup(**flags: Any) -> None:
    """Write a checked copy of the SQLite file beside it, also while the service runs."""
    from service import running

    try:
        click.echo(running.back_up(_settings(**flags).database_url))
    except running.Unfit as problem:
        raise Stop(str(problem)) from None


@main.command()
@_DATABASE
def verify(**flags: Any) -> None:
    """Recompute the whole record and name the first fault, with exit code 1.

    Audit chain, rows, frozen documents and their forms, ledger, origins, states and all that is
    kept beside what it follows from. It only reads, also while the service runs.
    """
    from service import running

    try:
        for line in running.verify(_settings(**flags).database_url):
            click.echo(line)
    except running.Unfit as problem:
        raise Stop(str(problem)) from None
    except running.FaultFound as fault:
        click.echo(f"FAULT: {fault}", err=True)
        sys.exit(1)
    click.echo("No fault was found.")


@main.group()
def keys() -> None:
    """Make, list and revoke API keys."""


@keys.command("create")
@click.option("--name", required=True, help="Whose or what the key is for.")
@click.option("--scopes", required=True, help="Of read,record,write,release,admin; or all.")
@click.option("--person", help="Code of the person who acts with it.")
@_DATABASE
def create_key(name: str, scopes: str, person: str | None, **flags: Any) -> None:
    """Make a key; the key alone is printed, this once."""
    from service import running

    try:
        click.echo(running.create_key(_settings(**flags), name, scopes, person))
    except running.Unfit as problem:
        raise Stop(str(problem)) from None


@keys.command("list")
@_DATABASE
def list_keys(**flags: Any) -> None:
    """List the keys, never their secrets."""
    from service import running

    try:
        for line in running.list_keys(_settings(**flags)):
            click.echo(line)
    except running.Unfit as problem:
        raise Stop(str(problem)) from None


@keys.command("revoke")
@click.argument("key_id")
@_DATABASE
def revoke_key(key_id: str, **flags: Any) -> None:
    """End a key at once; KEY_ID is the part between kmk_ and the next underscore."""
    from service import running

    try:
        running.revoke_key(_settings(**flags), key_id)
    except running.Unfit as problem:
        raise Stop(str(problem)) from None
    click.echo(f"{key_id} is revoked.")


@main.command()
def openapi() -> None:
    """Print the OpenAPI document."""
    from service.app import document

    click.echo(json.dumps(document(), indent=1, ensure_ascii=False))


if __name__ == "__main__":
    main(prog_name="kettlemark")
