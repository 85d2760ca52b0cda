"""From a brief to an approved plan, as a teacher on a laptop and a student on a phone do it.

Steps of `test_whole_job`, each on a page as the one before left it.
"""

from datetime import timedelta
from io import BytesIO
from pathlib import Path

from django.core.files.storage import default_storage
from PIL import Image
from playwright.sync_api import FilePayload, Page, expect

from studio.config.settings import BASE_DIR
from studio.demo.forms import Form, forms_from
from studio.demo.photo import exif_of
from studio.demo.sketchbook import refinement_photo, sketchbook_of, thumbnail_photo
from studio.uploads.models import StoredImage
from tests.browser import go_to
from tests.cast import today_there

HEIC = Path(BASE_DIR) / "tests" / "data" / "drawing.heic"
STUDENT_SEED = 22
# Half-widths of a bellied pot in cm, by height line.
PLAN = [(0, "5"), (5, "8"), (10, "9.5"), (15, "8.5"), (20, "6")]
GPS = 0x8825


def add_clay(page: Page) -> None:
    go_to(page, "Clay room")
    page.get_by_role("link", name="Clay bodies").first.click()
    page.get_by_role("link", name="Add a clay body").first.click()
    for label, value in {
        "Name": "Grogged stoneware",
        "Wet density": "1.95",
        "Water": "21",
        "Drying shrinkage": "6",
        "Total shrinkage": "10.5",
        "Loss on ignition": "6",
        "Where the figures come from": "Test bars, February",
    }.items():
        page.get_by_label(label).fill(value)
    page.get_by_role("button", name="Add it").click()
    expect(page.get_by_role("status")).to_contain_text("is on the list")


def write_brief(page: Page) -> None:
    go_to(page, "Briefs")
    page.get_by_role("link", name="Write a brief").first.click()
    page.get_by_label("Title").fill("Something that grew")
    page.get_by_label("What to make").fill("A pot that could not exist without a plant.")
    page.get_by_label("smooth").check()
    for label, value in {
        "Least fired height": "12",
        "Most fired height": "34",
        "Most fired width": "30",
        "Most fired depth": "30",
        "Least thumbnails": "6",
        "Least source forms": "2",
        "Least refinements": "1",
        "Wall": "0.8",
        "Base": "1",
        "Coil": "1.4",
        "Corner coil": "0.8",
        "Working allowance": "20",
    }.items():
        page.get_by_label(label, exact=label == "Coil").first.fill(value)
    page.get_by_label("Clay body").select_option(label="Grogged stoneware")
    page.get_by_role("button", name="Keep the brief").click()
    expect(page.get_by_role("status")).to_contain_text("The brief is kept")


def give(page: Page, title: str) -> None:
    page.get_by_role("link", name="Give it to classes").click()
    page.get_by_label(title).check()
    page.get_by_label("Due on").fill((today_there() + timedelta(days=60)).isoformat())
    page.get_by_role("button", name="Give it").click()
    expect(page.get_by_role("status")).to_contain_text("1 class has it")


def forms() -> list[Form]:
    return list(forms_from(Path(BASE_DIR) / "fixtures" / "forms.toml").values())


def photo(number: int) -> bytes:
    return thumbnail_photo(sketchbook_of(STUDENT_SEED), forms()[number], number)


def with_place(jpeg: bytes) -> bytes:
    """As a phone saves it: with where it was taken."""
    out = BytesIO()
    exif = exif_of(latitude=52.1, longitude=4.3)
    Image.open(BytesIO(jpeg)).save(out, "JPEG", exif=exif)
    assert Image.open(out).getexif().get_ifd(GPS)
    return out.getvalue()


def payload(name: str, content: bytes, kind: str = "image/jpeg") -> FilePayload:
    return {"name": name, "mimeType": kind, "buffer": content}


def upload_eight(page: Page) -> None:
    """Seven arrive, one of them HEIC and one with a place; the broken one says so."""
    files = [payload(f"IMG_{2100 + n}.jpg", photo(n)) for n in range(5)]
    files.append(payload("IMG_2105.jpg", with_place(photo(5))))
    files.append(payload("IMG_2106.heic", HEIC.read_bytes(), "image/heic"))
    files.append(payload("IMG_2107.jpg", photo(7)[:4000]))
    page.get_by_label("Photos of your drawings").set_input_files(files)
    page.locator("#sketch").get_by_role("button", name="Send photos").click()
    expect(page.locator("#thumbnails img")).to_have_count(7)
    broken = page.locator("#thumbnails li", has_text="IMG_2107.jpg")
    expect(broken.get_by_role("button", name="Clear away")).to_be_visible()


def say_source_forms(page: Page) -> None:
    for number, source in ((1, "seed pod"), (2, "shell")):
        page.get_by_role("link", name=f"Thumbnail {number}").click()
        page.get_by_label("What did it grow from?").select_option(label=source)
        page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("heading", name="Choose one to build")).to_be_visible()


def choose(page: Page) -> None:
    page.get_by_role("link", name="Choose your design").click()
    page.get_by_role("radio").nth(3).check()
    page.get_by_label("Why this one?").fill("Its shoulder carries the weight of the rim.")
    page.get_by_role("button", name="Choose this one").click()
    expect(page.get_by_role("heading", name="Refine it")).to_be_visible()


def refine(page: Page) -> None:
    content = refinement_photo(sketchbook_of(STUDENT_SEED), forms()[3], 900)
    page.get_by_label("Photos of your refinements").set_input_files(
        [payload("IMG_2200.jpg", content)]
    )
    page.locator("#refine").get_by_role("button", name="Send photos").click()
    expect(page.locator("#refinements img")).to_have_count(1)


def enter_plan(page: Page) -> None:
    page.reload()
    page.get_by_role("link", name="Start the plan").click()
    page.get_by_label("Height of your drawing").fill("20")
    page.get_by_label("A height line every").fill("5")
    page.get_by_role("button", name="Make the lines").click()
    for line, (_height, half_width) in enumerate(PLAN, start=1):
        for side in ("Left", "Right"):
            page.get_by_label(f"{side}, line {line}", exact=True).fill(half_width)
    # The silhouette and the clay follow while numbers are typed.
    expect(page.locator("#figures .plan-drawing")).to_be_visible()
    expect(page.locator("#figures")).to_contain_text("kg")
    page.get_by_role("button", name="Send to the teacher").click()
    expect(page.get_by_role("heading", name="Your plan is with the teacher")).to_be_visible()


def approve(page: Page, name: str) -> None:
    go_to(page, "Plans")
    page.get_by_role("link", name="Look at them one by one").click()
    expect(page.get_by_role("heading", name=name)).to_be_visible()
    expect(page.locator("main svg").first).to_be_visible()
    page.get_by_role("button", name="Approve").click()
    expect(page.get_by_role("status")).to_contain_text("Approved")


def no_picture_knows_where_it_was_taken() -> None:
    """Nothing of a phone is left in any file, and no original is left at all."""
    for image in StoredImage.objects.filter(state=StoredImage.State.READY):
        for name in (image.full_file, image.small_file):
            with default_storage.open(name) as file:
                kept = Image.open(file)
                assert dict(kept.getexif()) == {}
                assert "exif" not in kept.info
    _folders, originals = default_storage.listdir("quarantine")
    assert originals == []
