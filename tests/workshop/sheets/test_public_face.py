"""The face that needs no key: what a buyer, a shop and a spreadsheet see of a jar."""

import hashlib
import json
import re
from typing import Any

import pytest

from service.store.session import Store
from tests.client import Client
from tests.makers import jars

NEVER = ("released", "resistant", "safe", "undecided", "quarantine", "deviation")
HTML = {"Accept": "text/html,application/xhtml+xml;q=0.9,*/*;q=0.8"}


def words(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)


def test_the_sheet_says_what_was_put_on_and_what_was_seen(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store)
    sheet = public.read(f"/l/{number}.json")
    assert sheet["age"] == (
        "Made 25 November 2026; tested on a panel of the same kettle, 3 coats, 28 days old."
    )
    assert [line["text"] for line in sheet["saw"]] == [
        "Artificial perspiration (acid), open drop, 4 h at 21 °C, own method: "
        "nothing seen (1 trial).",
        "Water, one drop covered for 16 h at 21 °C: faint whitening (1 trial).",
    ]
    tried = "hand-rub alcohol, 70 % v/v ethanol"
    assert sheet["not_tried"] == {"text": f"Not tried on this lot: {tried}.", "list": [tried]}
    assert sheet["status"]["state"] == "current"
    assert sheet["status"]["notice"] is None
    assert sheet["url"] == f"https://lots.example.org/l/{number}"
    assert (sheet["best_before"], sheet["after_opening"]) == ("2028-11", "12 months")
    assert sheet["hazards"]["finding"] == "not_assessed"
    assert sheet["hazards"]["cautions"][0].startswith("Rags soaked in this oil")


def test_every_figure_has_a_basis_and_a_note_that_is_used(
    client: Client, store: Store, public: Client
) -> None:
    sheet = public.read(f"/l/{jars.released(client, store)}.json")
    flow = next(figure for figure in sheet["constants"] if figure["name"] == "flow_time")
    assert flow["text"] == "Flow time 62 s, ISO 2431, cup 4, 23 °C (measured, 3 trials)"
    note = sheet["notes"][flow["note"]]
    assert (note["n"], note["low"], note["high"], note["on"]) == (3, "61", "63", "2026-11-27")
    used = {part["note"] for part in (*sheet["saw"], *sheet["constants"])}
    assert used == set(sheet["notes"])
    assert all(part["basis"] in {"measured", "calculated"} for part in sheet["constants"])


def test_a_number_is_found_as_a_tired_person_types_it(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store)
    for typed in ("spar 2611 07a m", "spar.2611.07a-M", "SPAR–2611–07A–M", "spar261107am"):
        answer = public.get(f"/l/{typed}.json")
        assert answer.status_code == 200, answer.text
        assert answer.headers["Content-Location"] == f"/l/{number}.json"
    assert public.get(f"/L/{number}").headers["Content-Location"] == f"/l/{number}"
    looked_up = public.get("/l", params={"number": "spar 2611 07a m"})
    assert looked_up.headers["Content-Location"] == f"/l/{number}"
    assert looked_up.content == public.get(f"/l/{number}").content


@pytest.mark.parametrize("form", ["", ".json", ".csv", "/r/1.json"])
def test_every_form_has_a_tag_and_answers_head_and_other_sites(
    client: Client, store: Store, public: Client, form: str
) -> None:
    path = f"/l/{jars.released(client, store)}{form}"
    first = public.get(path, headers={"Origin": "https://shop.example"})
    assert first.headers["access-control-allow-origin"] == "*"
    again = public.get(path, headers={"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    head = public.request("HEAD", path)
    assert (head.status_code, head.content) == (200, b"")
    assert head.headers["ETag"] == first.headers["ETag"]
    lasting = "immutable" if form.startswith("/r") else "max-age=60, must-revalidate"
    assert lasting in first.headers["Cache-Control"]
    assert first.headers["Cache-Control"].startswith("public")


def test_the_frozen_bytes_match_their_digest_and_never_change(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store)
    frozen = public.get(f"/l/{number}/r/1.json")
    digest = hashlib.sha256(frozen.content).hexdigest()
    kept = client.read(f"/v1/lots/{number}/sheets/1")
    assert kept["sha256"] == digest
    assert frozen.headers["ETag"] == f'"{digest}"'
    assert "status" not in frozen.json()
    client.made(f"/v1/lots/{number}/rejections", {"reason": "a skin in every jar", "by": "MB"})
    assert public.get(f"/l/{number}/r/1.json").content == frozen.content
    assert public.get(f"/l/{number}/r/2.json").status_code == 404


def test_a_mistyped_number_names_published_lots_only(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.packed(client, store)
    answer = public.get("/l/SPAR-2671-07A-M.json")
    assert answer.json()["did_you_mean"] == []
    jars.labelled(client, number)
    client.made(f"/v1/lots/{number}/releases", {"with_bulk": True, "by": "MB"})
    answer = public.get("/l/SPAR-2671-07A-M.json")
    assert (answer.status_code, answer.json()["type"]) == (404, "/problems/lot-mistyped")
    assert answer.json()["did_you_mean"] == [number]
    assert answer.json()["detail"] == (
        "SPAR-2671-07A-M cannot be right: its last character does not fit the others. "
        "Please look at the jar again."
    )


def test_what_is_not_published_is_unknown(client: Client, store: Store, public: Client) -> None:
    number = jars.packed(client, store)
    for path in (
        f"/l/{number}",
        f"/l/{number}.json",
        f"/l/{jars.BULK}.csv",
        f"/l/{number}/r/1.json",
    ):
        answer = public.get(path)
        assert (answer.status_code, answer.json()["type"]) == (404, "/problems/lot-unknown")
    assert public.get("/p/SPAR.json").status_code == 404
    assert public.read("/p.json") == {"products": []}


def test_a_browser_gets_a_friendly_page_with_the_form(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store)
    answer = public.get("/l/SPAR-2671-07A-M", headers=HTML)
    assert answer.status_code == 404
    assert answer.headers["content-type"].startswith("text/html")
    assert f'href="/l/{number}"' in answer.text
    assert '<form method="get" action="/l">' in answer.text
    assert '<form method="get" action="/l">' in public.get("/l").text


@pytest.mark.parametrize("typed", ["<script>alert(1)</script>", "x" * 300, "’“”", "%00"])
def test_no_number_breaks_the_page(public: Client, typed: str) -> None:
    answer = public.get("/l", params={"number": typed[:200]}, headers=HTML)
    assert answer.status_code == 404
    assert "<script>" not in answer.text


def test_the_number_of_a_kettle_lists_its_jars(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store)
    listed = public.read("/l/spar 2611 07 l.json")
    url = f"https://lots.example.org/l/{number}"
    row = {"lot": number, "product": "SPAR", "net": "250 ml", "url": url}
    assert listed == {"lot": jars.BULK, "packed": [row]}
    assert f'href="/l/{number}"' in public.get(f"/l/{jars.BULK}").text
    assert number in public.get(f"/l/{jars.BULK}.csv").text


def test_the_page_carries_the_sheet_for_people_and_machines(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store)
    page = public.get(f"/l/{number}").text
    url = f"https://lots.example.org/l/{number}"
    assert f'<link rel="canonical" href="{url}">' in page
    island = re.search(r'<script type="application/ld\+json">(.*?)</script>', page)
    assert island is not None
    data = json.loads(island[1])
    assert (data["@type"], data["@id"], data["productionDate"]) == ("Product", url, "2026-11-25")
    assert {"@type": "PropertyValue", "name": "lot number", "value": number} in data[
        "additionalProperty"
    ]
    for text in (line["text"] for line in public.read(f"/l/{number}.json")["saw"]):
        assert text.replace(" ", "") in page.replace("\N{NO-BREAK SPACE}", "").replace(" ", "")


def test_nothing_public_holds_a_cost_a_person_or_a_supplier(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store, disclosure="percent-ranges", tell_oil_length=True)
    secrets = (jars.PRICE, "987", jars.SUPPLIER, "Secret", "Bellweather", '"MB"', ">MB<", "24.00")
    paths = [f"/l/{number}{form}" for form in ("", ".json", ".csv", "/r/1.json")]
    for path in (*paths, f"/l/{jars.BULK}.json", "/p/SPAR.json", "/p.json", "/p/SPAR"):
        text = public.get(path).text
        assert not [secret for secret in secrets if secret in text], path
        bare = re.sub(r"<style>.*?</style>", "", text, flags=re.S).casefold()
        assert not [word for word in NEVER if word in bare], path


def test_names_are_words_and_never_markup(client: Client, store: Store, public: Client) -> None:
    hostile = '</script><script>alert("x")</script>'
    number = jars.released(client, store, name={"en": hostile}, directions={"en": hostile})
    page = public.get(f"/l/{number}").text
    assert page.count("<script") == 1
    assert 'alert("x")' not in page
    assert public.read(f"/l/{number}.json")["name"] == hostile


def test_contents_and_oil_length_are_told_as_the_product_tells_them(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store, disclosure="percent-ranges", tell_oil_length=True)
    sheet = public.read(f"/l/{number}.json")
    assert sheet["contents"][0] == {"name": "WSPIRIT", "share": "25 to 50 %"}
    ratio = next(figure for figure in sheet["constants"] if figure["name"] == "oil_to_resin")
    # (1317 g + 878 g) of oils over 1098 g of resinate, by hand.
    assert ratio["text"] == "Oil to resin 2.0 to 1 by mass as charged (calculated)"
    assert sheet["notes"][ratio["note"]]["batch"] == jars.BULK


def test_a_product_that_tells_nothing_tells_nothing(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store)
    sheet = public.read(f"/l/{number}.json")
    assert sheet["contents"] is None
    assert {figure["name"] for figure in sheet["constants"]} == {"density", "flow_time"}
    assert "ROSIN" not in public.get(f"/l/{number}").text


def test_a_shop_has_it_all_in_one_request(client: Client, store: Store, public: Client) -> None:
    number = jars.released(client, store)
    shown = public.read("/p/spar.json")
    assert shown["latest"] == public.read(f"/l/{number}.json")
    row = public.read("/p.json?market=eu&language=en")["products"][0]
    assert row["packs"] == [{"pack": "250ML", "net": "250 ml", "gtin": None, "latest": number}]
    assert (row["hazards"]["finding"], row["hazards"]["pictograms"]) == ("not_assessed", [])
    assert row["url"] == "https://lots.example.org/p/SPAR"
    assert f'href="/l/{number}"' in public.get("/p/SPAR").text


def test_without_a_public_address_links_lead_to_the_host_that_was_asked(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store)
    client.patch("/v1/workshop", {"public_address": None})
    assert public.read(f"/l/{number}.json")["url"] == f"http://test/l/{number}"
    hostile = public.get(f"/l/{number}", headers={"Host": 'evil"><script>'})
    assert "evil" not in hostile.text
