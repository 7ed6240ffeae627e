"""Where all welded pieces sit on each other, worked out once for all who ask."""

from __future__ import annotations

from collections.abc import Mapping

from handbarrow.design.values import Product
from handbarrow.job.fitup_contacts import contacts
from handbarrow.job.fitup_place import Sitting, sitting
from handbarrow.job.fitup_values import Contact
from handbarrow.job.mitre_surfaces import Scene
from handbarrow.job.remembered import remembered
from handbarrow.job.values import JobPart
from handbarrow.workshop.values import Workshop

__all__ = ["welded_sits"]


@remembered
def welded_sits(product: Product, workshop: Workshop, parts: tuple[JobPart, ...]) -> Mapping[Contact, Sitting]:
    """Return every contact that is welded, with how the two sit; of parts that are not given, nothing."""
    by_id, scene = {part.id: part for part in parts}, Scene(product)
    out: dict[Contact, Sitting] = {}
    for contact in contacts(product, workshop):
        one, other = by_id.get(contact.piece.part), by_id.get(contact.to.part)
        if one is None or other is None or contact.joined != "weld" or one.assembly != other.assembly:
            continue
        out[contact] = sitting(scene, by_id, contact)
    return out
