"""What a published sheet says once something has changed."""

from service.store.session import Store
from service.workshop.stock.actions import link
from service.workshop.stock.queries import lot, lots_of_material
from tests.client import Client, system
from tests.makers import jars, panels


def state(public: Client, number: str) -> str:
    found: str = public.read(f"/l/{number}.json")["status"]["state"]
    return found


def test_a_corrected_reading_puts_the_sheet_under_correction_until_it_is_released_anew(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store)
    before = public.get(f"/l/{number}")
    reading = public.read(f"/l/{number}.json")["saw"][1]["readings"][0]
    body = {"replaces": {"saw": "whitening, strong"}, "reason": "misread", "by": "MB"}
    client.made(f"/v1/readings/{reading}/corrections", body)
    sheet = public.read(f"/l/{number}.json")
    assert sheet["status"]["state"] == "under correction"
    assert "faint whitening" in sheet["saw"][1]["text"]
    page = public.get(f"/l/{number}", headers={"If-None-Match": before.headers["ETag"]})
    assert page.status_code == 200
    assert "Under correction" in page.text
    assert "Under correction" in public.get(f"/l/{number}.csv").text
    again = client.made(f"/v1/lots/{number}/releases", {"by": "MB"})
    assert again["sheet_revision"] == 2
    sheet = public.read(f"/l/{number}.json")
    assert (sheet["status"]["state"], sheet["revision"]) == ("current", 2)
    assert "strong whitening" in sheet["saw"][1]["text"]
    assert "faint" in public.get(f"/l/{number}/r/1.json").text


def test_a_new_reading_leaves_the_frozen_sheet_as_it_is(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store)
    rows, methods = {"flow_time": "70 s"}, {"flow_time": "ISO 2431, cup 4, 23 °C"}
    body = {"rows": rows, "methods": methods, "on": "2026-12-01"}
    client.made(f"/v1/lots/{jars.BULK}/readings", body)
    assert state(public, number) == "current"
    draft = client.read(f"/v1/lots/{number}/sheets/draft")
    assert draft["frozen"] == [1]
    assert draft["differs_from_frozen"] == ["constants", "notes"]


def test_a_rejected_lot_is_off_sale_and_its_page_says_so(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store)
    client.made(f"/v1/lots/{number}/rejections", {"reason": "a skin in every jar", "by": "MB"})
    assert state(public, number) == "withdrawn"
    page = public.get(f"/l/{number}")
    assert page.status_code == 200
    assert "taken this lot off sale" in page.text
    assert "skin" not in page.text
    assert public.read("/p.json") == {"products": []}


def test_jars_of_a_kettle_rejected_later_are_off_sale(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store)
    client.made(f"/v1/lots/{jars.BULK}/rejections", {"reason": "a wrong oil", "by": "MB"})
    assert state(public, number) == "withdrawn"
    assert "taken this lot off sale" in public.get(f"/l/{number}").text
    assert public.read("/p.json") == {"products": []}
    assert public.get("/p/SPAR.json").status_code == 404


def test_what_was_tried_later_is_told_by_a_second_release(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store)
    first = public.get(f"/l/{number}/r/1.json").content
    client.made("/v1/panels/P-26-014/readings", panels.page({"B1": "softening"}, by="MB"))
    assert client.read(f"/v1/lots/{number}/readiness")["ready"] is True
    again = client.made(f"/v1/lots/{number}/releases", {"by": "MB"})
    assert again["sheet_revision"] == 2
    assert len(public.read(f"/l/{number}.json")["saw"]) == 3
    assert public.get(f"/l/{number}/r/1.json").content == first
    assert client.read(f"/v1/lots/{number}/readiness")["ready"] is False


def test_contents_told_wrongly_put_the_sheet_under_correction(
    client: Client, store: Store, public: Client
) -> None:
    number = jars.released(client, store, disclosure="names")
    with store.writing(system()) as session:
        oil = lots_of_material(session, "OIL-TUNG", "received")[0]
        link(session, oil, lot(session, jars.BULK), 900_000)
    assert state(public, number) == "under correction"


def test_a_draft_is_the_sheet_that_would_be_frozen(client: Client, store: Store) -> None:
    number = jars.packed(client, store)
    draft = client.read(f"/v1/lots/{number}/sheets/draft")
    assert (draft["draft"], draft["frozen"], draft["sha256"]) == (True, [], None)
    assert client.get(f"/v1/lots/{number}/sheets/latest").status_code == 404
    jars.labelled(client, number)
    client.made(f"/v1/lots/{number}/releases", {"with_bulk": True, "by": "MB"})
    latest = client.read(f"/v1/lots/{number}/sheets/latest")
    assert (latest["draft"], latest["frozen"]) == (False, [1])
    same = draft.keys() - {"draft", "frozen", "sha256"}
    assert {name: latest[name] for name in same} == {name: draft[name] for name in same}


def test_a_lot_that_was_never_tried_says_so(client: Client, store: Store) -> None:
    jars.workshop(client)
    bulk = jars.kettle(client, store)
    figure = {"value": "0.897 kg/l", "basis": "measured", "method": "pyknometer"}
    body = {"pack": "250ML", "gross_g": list(jars.WEIGHED), "density": figure}
    number = client.made(f"/v1/lots/{bulk}/fills", body)["lot"]
    draft = client.read(f"/v1/lots/{number}/sheets/draft")
    assert draft["saw"] == []
    assert draft["not_tried"]["text"] == "Nothing was put on a film of this lot."
    assert draft["age"] == "Made 25 November 2026."


def test_a_bulk_lot_has_no_sheet(client: Client, store: Store) -> None:
    jars.workshop(client)
    answer = client.get(f"/v1/lots/{jars.kettle(client, store)}/sheets/draft")
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/not-packed")
