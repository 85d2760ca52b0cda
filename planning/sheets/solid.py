"""A solid as an STL file, binary: triangles in single precision, no unit of its own. Lengths are
millimetres, as programs for printers take them (common practice, no source)."""

from io import BytesIO

import numpy as np
from stl.mesh import Mesh as Triangles
from stl.stl import Mode

from planning.geometry.mesh import Mesh


class _Named(Triangles):
    """The head of the file says what it is; the library would put the time into it, so that no
    two files were the same."""

    def get_header(self, name: str | bytes) -> str:
        return str(name)[:80].ljust(80)


def solid_stl(mesh: Mesh, name: str) -> bytes:
    """`name`, in ASCII, stands at the head of the file."""
    triangles = np.zeros(len(mesh.faces), dtype=_Named.dtype)
    triangles["vectors"] = mesh.vertices[mesh.faces]
    out = BytesIO()
    _Named(triangles).save(name, fh=out, mode=Mode.BINARY)
    return out.getvalue()
