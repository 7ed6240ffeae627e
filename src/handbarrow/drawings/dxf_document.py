"""One way to make a DXF file whose bytes depend on nothing but what is drawn."""

from __future__ import annotations

import io
import threading
from collections.abc import Callable
from typing import Any

__all__ = ["dxf_bytes"]

_LOCK = threading.Lock()


def dxf_bytes(draw: Callable[[Any], None]) -> bytes:
    """Return a DXF R2010 in mm as bytes.

    Args:
        draw: Puts layers, styles and entities into the new document.
    """
    import ezdxf  # half a second, and only those who want files need it

    library: Any = ezdxf  # its own export list is incomplete
    with _LOCK:  # the switch for fixed dates and marks is the library's own, for all documents
        before = library.options.write_fixed_meta_data_for_testing
        library.options.write_fixed_meta_data_for_testing = True
        try:
            document = library.new("R2010", setup=False)
            document.units = library.units.MM
            draw(document)
            for name in sorted(document.entitydb.dxf_types_in_use()):
                document.classes.add_class(name)  # else written in the order of a set
            stream = io.StringIO()
            document.write(stream)
        finally:
            library.options.write_fixed_meta_data_for_testing = before
    return stream.getvalue().encode("utf-8")
