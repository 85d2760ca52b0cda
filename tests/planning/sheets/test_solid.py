"""The STL file read by others: byte by byte as the format says, and by trimesh.

Binary STL: a head of 80 bytes, the number of triangles as an unsigned 32-bit integer, then 50 bytes
for each: a normal and three corners in single precision, and two bytes that stay 0
(StereoLithography Interface Specification, 3D Systems, 1989; from memory)."""

from io import BytesIO

import numpy as np
import pytest
import trimesh

from planning.geometry.form import form
from planning.geometry.inputs import Outline
from planning.geometry.mesh import clay_solid
from planning.sheets.solid import solid_stl
from tests.planning.geometry.forms import inputs, points

GIVEN = inputs(points((0, 60), (150, 60)), outline=Outline("leaf", 0.6))
TRIANGLE = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("rest", "<u2")])


@pytest.fixture(scope="module")
def content() -> bytes:
    return solid_stl(clay_solid(GIVEN, form(GIVEN)), "Coilcourse AB-12-wet, millimetres")


def test_it_has_the_head_the_count_and_the_triangles_of_the_format(content: bytes) -> None:
    assert content[:80].decode("ascii").rstrip() == "Coilcourse AB-12-wet, millimetres"
    assert int.from_bytes(content[80:84], "little") == (len(content) - 84) / 50
    triangles = np.frombuffer(content[84:], TRIANGLE)
    corners = triangles["corners"].astype(float)
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    assert (triangles["rest"] == 0).all()
    # The written normals point the way that the corners turn.
    assert ((normal * triangles["normal"]).sum(axis=1) >= 0).all()


def test_another_reader_finds_the_plans_clay_in_it(content: bytes) -> None:
    read = trimesh.load(BytesIO(content), file_type="stl")
    assert isinstance(read, trimesh.Trimesh)
    built = form(GIVEN).volumes
    assert read.is_watertight
    assert read.volume == pytest.approx(built.total - built.corner, rel=1e-3)
    assert read.extents == pytest.approx([120, 72, 150], abs=0.02)


def test_the_same_plan_gives_the_same_file(content: bytes) -> None:
    again = solid_stl(clay_solid(GIVEN, form(GIVEN)), "Coilcourse AB-12-wet, millimetres")
    assert again == content
