"""A version names a photo by its content: before it is here, after, or never."""

from typing import Any

import pytest

from tests.client import Client
from tests.makers import recipes
from tests.makers.pictures import name, picture, put, written
from tests.makers.recipes import RESINATE, refused

PHOTO = written(picture())
HERE = {"name": name(PHOTO), "here": True, "href": f"/v1/attachments/{name(PHOTO)}"}
AWAITED = {**HERE, "here": False}


@pytest.fixture
def shop(client: Client) -> Client:
    recipes.shelf(client)
    return client


def test_a_photo_may_come_after_the_version_that_names_it(shop: Client) -> None:
    recipes.recipe(shop, {**RESINATE, "photo": name(PHOTO)}, approved=False)
    assert recipes.version(shop, "RESIN-ZN")["photo"] == AWAITED
    put(shop, PHOTO)
    assert recipes.version(shop, "RESIN-ZN")["photo"] == HERE


def test_a_photo_may_be_there_before_it(shop: Client) -> None:
    put(shop, PHOTO)
    made = recipes.recipe(shop, {**RESINATE, "photo": name(PHOTO)}, approved=False)
    assert made["version"]["photo"] == HERE


def test_a_version_without_a_photo_says_so(shop: Client) -> None:
    recipes.recipe(shop, RESINATE)
    assert recipes.version(shop, "RESIN-ZN")["photo"] is None


def test_what_is_frozen_is_its_name_and_not_whether_it_is_here(shop: Client) -> None:
    recipes.recipe(shop, {**RESINATE, "photo": name(PHOTO)})
    before = recipes.version(shop, "RESIN-ZN")
    put(shop, PHOTO)
    after = recipes.version(shop, "RESIN-ZN")
    assert (before["photo"], after["photo"]) == (AWAITED, HERE)
    assert after["document"] == before["document"]
    assert after["recalculated"] is None


def test_a_name_is_taken_in_large_digits_too(shop: Client) -> None:
    large = name(PHOTO).upper()
    made = recipes.recipe(shop, {**RESINATE, "photo": f" {large} "}, approved=False)
    assert made["version"]["photo"]["name"] == name(PHOTO)


@pytest.mark.parametrize(
    ("photo", "code"),
    [
        ("page1.jpg", "bad-attachment-name"),
        ("sha256:" + "0" * 63, "bad-attachment-name"),
        ("0" * 64, "bad-attachment-name"),
        ("md5:" + "0" * 64, "bad-attachment-name"),
        (7, "wrong-type"),
    ],
)
def test_what_is_no_name_is_refused_at_its_place(shop: Client, photo: Any, code: str) -> None:
    (fault,) = refused(shop, "/v1/recipes", {**RESINATE, "photo": photo})["errors"]
    assert (fault["pointer"], fault["code"]) == ("#/photo", code)
