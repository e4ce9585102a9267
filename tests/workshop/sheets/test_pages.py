"""The pages that stand beside a sheet: choices, what was not tried, names and dates."""

import csv
import io

from sqlmodel import select

from service.office.documents._tables import Rendering
from service.store.session import Store
from tests.client import Client, system
from tests.makers import jars
from tests.makers.panels import page

HTML = {"Accept": "text/html"}


def test_other_jars_are_a_choice_and_not_another_form(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store)
    for path in (f"/l/{jars.BULK}", "/l/SPAR-2671-07A-M", "/p/SPAR"):
        shown = public.get(path, headers=HTML).text
        assert f'<li><a href="/l/{number}">{number}</a>' in shown, path
        assert "Also as" not in shown, path
    assert "Also as" in public.get(f"/l/{number}").text


def test_a_product_of_which_nothing_is_on_sale_has_a_friendly_page(public: Client) -> None:
    answer = public.get("/p/NOPE", headers=HTML)
    assert (answer.status_code, answer.headers["Cache-Control"]) == (404, "no-store")
    assert "No lot of a product NOPE is on sale here." in answer.text
    assert public.get("/p/NOPE").json()["type"] == "/problems/product-unknown"


def test_what_a_shop_fetches_may_be_kept_for_a_minute(
    client: Client, store: Store, public: Client
) -> None:
    jars.released(client, store)
    for path in ("/p.json", "/p/SPAR.json", "/p/SPAR"):
        kept = public.get(path).headers["Cache-Control"]
        assert kept == "public, max-age=60, must-revalidate", path


def test_a_file_leads_back_to_its_host(client: Client, store: Store, public: Client) -> None:
    number = jars.released(client, store)
    rows = list(csv.DictReader(io.StringIO(public.get(f"/l/{number}.csv").text)))
    links = [row["text"] for row in rows if row["section"] == "links"]
    assert links[0] == f"https://lots.example.org/l/{number}.json"
    assert all(link.startswith("https://lots.example.org/") for link in links)


def test_a_name_in_another_language_is_better_than_a_code(client: Client, store: Store) -> None:
    names = {"name": {"de": "Bootslack, fett"}, "directions": {"de": "Dünn auftragen."}}
    draft = client.read(f"/v1/lots/{jars.packed(client, store, **names)}/sheets/draft")
    assert (draft["name"], draft["directions"]) == ("Bootslack, fett", "Dünn auftragen.")


def test_contents_are_what_went_in_and_names_keep_their_commas(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store, disclosure="names")
    shown = public.get(f"/l/{number}").text
    assert "What went into it" in shown
    assert "WSPIRIT; OIL-LIN; ROSIN; OIL-TUNG; ZNO. By falling mass" in shown


def test_a_page_of_a_lot_that_was_never_tried_says_so_once(
    client: Client, store: Store, public: Client
) -> None:
    jars.workshop(client)
    figure = {"value": "0.897 kg/l", "basis": "measured", "method": "pyknometer"}
    body = {"pack": "250ML", "gross_g": list(jars.WEIGHED), "density": figure}
    number = client.made(f"/v1/lots/{jars.kettle(client, store)}/fills", body)["lot"]
    jars.labelled(client, number)
    client.made(f"/v1/lots/{number}/releases", {"with_bulk": True, "by": "MB"})
    shown = public.get(f"/l/{number}").text
    assert "Nothing was put on a film of this lot." in shown
    assert "What we did not try" not in shown


def test_bare_wood_is_no_film(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    before = page({"B1": "none"}, on="2026-11-01")
    made = client.made("/v1/panels/P-26-014/readings", before)
    assert made["flags"][0]["code"] == "reading-before-coat"
    draft = client.read(f"/v1/lots/{number}/sheets/draft")
    assert len(draft["saw"]) == 2
    assert draft["not_tried"]["list"] == ["hand-rub alcohol, 70 % v/v ethanol"]


def test_what_was_seen_stands_by_position_on_the_panel(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    client.made("/v1/panels/P-26-014/readings", page({"A1": "none"}, on="2027-02-26"))
    draft = client.read(f"/v1/lots/{number}/sheets/draft")
    tried = [line["tried"] for line in draft["saw"]]
    assert tried == [*["artificial perspiration, acid"] * 2, "water"]


def test_footnotes_write_days_as_one_writes_them(
    client: Client, store: Store, public: Client
) -> None:
    shown = public.get(f"/l/{jars.released(client, store)}").text
    notes = shown[shown.index('class="notes"') :].replace("\N{NO-BREAK SPACE}", " ")
    assert "3 coats; 28 d old" in notes
    assert "on 26 December 2026" in notes
    assert "2026-12-26" not in notes


def test_a_coat_put_on_later_was_not_tried(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    rows = {"non_volatile": "59.8 %"}
    body = {"rows": rows, "methods": {"non_volatile": "1 g, 105 °C, 60 min"}}
    client.made(f"/v1/lots/{jars.BULK}/readings", body)
    spirit = {"property": "density", "value": "0.77 kg/l", "basis": "declared", "source": "X"}
    client.made("/v1/materials/WSPIRIT/figures", spirit)
    before = client.read(f"/v1/lots/{number}/sheets/draft")["notes"]["panel"]
    client.made("/v1/panels/P-26-014/coats", {"on": "2027-01-10", "wet": "60 g/m2"})
    after = client.read(f"/v1/lots/{number}/sheets/draft")["notes"]["panel"]
    assert (before["film"], after) == (after["film"], before)


def test_a_page_stored_in_an_older_dress_is_set_anew(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store)
    shown = public.get(f"/l/{number}").content
    with store.writing(system()) as session:
        row = session.exec(select(Rendering).where(Rendering.form == "html")).one()
        row.body = row.body.replace(b"<style>", b"<style>p { color: red }", 1).replace(
            b":root {", b":root { --old: 1;", 1
        )
        session.add(row)
    assert public.get(f"/l/{number}").content == shown
