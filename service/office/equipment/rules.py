"""Refusals of the equipment desk."""

from service.errors import NotFound


class UnknownEquipment(NotFound):
    slug = "equipment-unknown"
    title = "There is no such piece of equipment"
