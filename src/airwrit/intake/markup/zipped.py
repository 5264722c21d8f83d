"""A zipped workbook's markup, read before its values: what kind it is, and what its sheets tell beside the values.

Sizes are summed before anything is unpacked.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from xml.parsers import expat

from airwrit.intake.markup.marks import Markup
from airwrit.intake.markup.ods import markup_of_ods
from airwrit.intake.markup.xlsx import markup_of_xlsx
from airwrit.intake.reader.limits import Fault, Limits

_NO_MEMORY = "Error -4"
"""How zlib's own message starts when it cannot get memory."""


def markup_of(data: bytes, limits: Limits) -> Markup:
    """The markup of a zipped workbook. Fault when it is damaged, too large unpacked, locked, or no workbook; MemoryError."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if sum(item.file_size for item in archive.infolist()) > limits.unpacked_bytes:
                raise Fault(
                    "unpacked, the file is far larger than a sheet can be",
                    "save only the table in a new file",
                )
            names = set(archive.namelist())
            if "content.xml" in names:
                return markup_of_ods(archive, names, limits)
            if any(name.endswith("workbook.xml") for name in names):
                return markup_of_xlsx(archive, names, limits)
            if any(name.endswith("workbook.bin") for name in names):
                raise Fault("the file is a binary workbook (.xlsb)", "save it again as .xlsx, and use that")
    except (zipfile.BadZipFile, zlib.error, expat.ExpatError, EOFError, NotImplementedError) as fault:
        if str(fault).startswith(_NO_MEMORY):
            raise MemoryError from fault
        raise Fault("the file is cut short or damaged", "get the file again, or save it again") from fault
    except (RuntimeError, LookupError, ValueError, OSError) as fault:
        raise Fault("the file is damaged inside or locked", "save it again without a password") from fault
    raise Fault("the file is a zip archive, not a spreadsheet", "unpack it, and use the sheet inside")
