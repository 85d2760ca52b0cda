"""A firing as its page takes it, made by hand: no database, any size."""

from collections.abc import Sequence
from math import cos, pi, sin

from studio.kilns.sheets.by_class import ClassLine
from studio.kilns.sheets.firing import FiringPrint
from studio.kilns.sheets.log import HourPrint
from studio.kilns.sheets.maps import LayerPrint, LoadPrint, PotLine
from studio.kilns.sheets.program import CurvePrint, SegmentPrint
from studio.kilns.sheets.times import Step

LETTERS = "ACEFHJKMNPRTWXY"
SHELF_MM = 520.0
DONE = "Done, time and name:"
OFF = "Dillon Pryce sees at the kiln that it is off"
Points = tuple[tuple[float, float], ...]


def circle(across_mm: float, x_mm: float = 0.0, y_mm: float = 0.0) -> Points:
    turns = [2 * pi * n / 60 for n in range(60)]
    half = across_mm / 2
    return tuple((x_mm + half * cos(turn), y_mm + half * sin(turn)) for turn in turns)


def code(number: int) -> str:
    letter = LETTERS[number % len(LETTERS)]
    return f"{letter}{3 + number % 7}-{3 + number // 7 % 7}{LETTERS[(3 * number + 1) % 15]}"


def pots(count: int, first: int, across_mm: float, gap_mm: float = 10.0) -> list[PotLine]:
    """Round pots in rings about the middle, nearer to each other nowhere than the gap."""
    step = across_mm + gap_mm
    places = [(0.0, 0.0)]
    for ring in (1, 2, 3):
        places += [
            (ring * step * cos(2 * pi * n / (6 * ring)), ring * step * sin(2 * pi * n / (6 * ring)))
            for n in range(6 * ring)
        ]
    return [
        PotLine(code(first + n), x, y, circle(across_mm, x, y))
        for n, (x, y) in enumerate(places[:count])
    ]


def a_load(
    layers: int = 4, each: int = 6, across_mm: float = 110.0, shelf_mm: float = SHELF_MM
) -> LoadPrint:
    return LoadPrint(
        shelf=circle(shelf_mm),
        layers=[
            LayerPrint(f"Layer {n + 1}", "posts of 15 cm", pots(each, n * each, across_mm))
            for n in range(layers)
        ],
        surface="bone_dry",
        bar=(100.0, "10 cm"),
    )


def by_class(load: LoadPrint, classes: int = 3) -> list[ClassLine]:
    codes = [pot.code for layer in load.layers for pot in layer.pots]
    return [
        ClassLine(f"Ceramics {n + 1}, Tuesdays and Fridays", f"C{n + 1}", found)
        for n in range(classes)
        if (found := [(each, "Dilnoza Y.") for each in codes[n::classes]])
    ]


def a_firing(
    load: LoadPrint | None = None,
    *,
    segments: int = 8,
    hours: int = 14,
    notes: Sequence[str] = ("Vent on to the end; nobody sits in the room.",),
    classes: int = 3,
) -> FiringPrint:
    """A usual one: eight segments, fourteen hours, four layers of six pots, three classes."""
    load = load or a_load()
    return FiringPrint(
        title="Round kiln, Tuesday 1 December 2026",
        subtitle="Bisque firing: dry pots, no glaze · Slow school bisque, cone 06",
        notes=notes,
        steps=[
            Step("Light it", "Tuesday 1 December, 16:00", "a member of staff", "", DONE),
            Step("Should be off", "Wednesday 2 December, 06:00", OFF, "", DONE),
            Step("Unload", "Thursday 3 December, 11:45 to 17:45", "staff", "", DONE),
        ],
        segments=[
            SegmentPrint("60 °C/h", f"{100 + 110 * n} °C", "30 min", "Wednesday 01:00")
            for n in range(segments)
        ],
        curve=CurvePrint(
            points=[(0.0, 20.0), (float(hours), 1000.0)],
            hours=[(0.0, "16:00"), (float(hours), "06:00")],
            degrees=[(0.0, "0 °C"), (500.0, "500 °C"), (1000.0, "1000 °C")],
        ),
        cone="By the table it reaches cone 06. The witness cone decides.",
        hours=[
            HourPrint(
                ("Tuesday", "Wednesday", "Thursday")[min(2, (n + 17) // 24)],
                f"{(n + 17) % 24:02}:00",
                f"{70 * n % 1300} °C",
            )
            for n in range(hours)
        ],
        checks=[
            "Every pot is dry by hand: none feels cold on the cheek. In doubt, it stays out.",
            "Witness cones for cone 06 stand where the spy hole shows them, all three of them.",
            *(f"Check number {n}: nothing that burns is within the clearance." for n in range(7)),
        ],
        load=load,
        classes=by_class(load, classes),
        short="On this page: °C, degrees Celsius; °C/h, degrees Celsius an hour; h, hours. " * 2,
        address="https://studio.example/kilns/slots/5e5f/log/",
    )
