"""The page of elevations in a real browser: what the crew does with it, done."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

import pytest
from pypdf import PdfReader
from typer.testing import CliRunner

from lapwright_cli.app import app
from lapwright_cli.reports.elevations import elevations_html
from tests.cli.reports.browser import chromium
from tests.cli.reports.small_plan import PLAN, WALL, renamed

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from lapwright.plan import Plan

pytestmark = pytest.mark.slow


def two_walls() -> Plan:
    """Give the small plan with its wall twice, the second as B."""

    def as_b(text: str) -> str:
        return "B" + text[1:]

    bars = [
        replace(
            material,
            bars=(
                *material.bars,
                *(
                    replace(
                        b,
                        number=b.number + 20,
                        cuts=tuple(replace(c, label=as_b(c.label)) for c in b.cuts),
                    )
                    for b in material.bars
                ),
            ),
        )
        for material in PLAN.materials
    ]
    return replace(
        PLAN,
        job=replace(PLAN.job, walls=(WALL, replace(WALL, name="North", mark="B"))),
        walls=(*PLAN.walls, replace(PLAN.walls[0], wall="B")),
        siding=(
            *PLAN.siding,
            *(replace(p, label=as_b(p.label), wall="B") for p in PLAN.siding),
        ),
        trim=(*PLAN.trim, *(replace(t, label=as_b(t.label), wall="B") for t in PLAN.trim)),
        seams=(
            *PLAN.seams,
            *(replace(s, wall="B", left=as_b(s.left), right=as_b(s.right)) for s in PLAN.seams),
        ),
        materials=tuple(bars),
    )


class Crew:
    """Someone with the page open."""

    def __init__(self, context: Any, folder: Path) -> None:
        self.folder = folder
        self.page = context.new_page()
        self.faults: list[str] = []
        self.asked: list[str] = []
        self.page.on(
            "console",
            lambda m: self.faults.append(m.text) if m.type in ("error", "warning") else None,
        )
        self.page.on("pageerror", lambda fault: self.faults.append(str(fault)))
        self.page.on("request", lambda request: self.asked.append(request.url))

    def open(self, plan: Plan, anchor: str = "", name: str = "page.html") -> Any:
        """Open the page of a plan at an anchor, as a link or a QR code does."""
        file = self.folder / name
        file.write_text(elevations_html(plan), "utf-8")
        self.page.goto("about:blank")
        self.page.goto(file.as_uri() + (f"#{quote(anchor)}" if anchor else ""))
        return self.page

    def walls(self) -> list[str]:
        """Name the walls that are in sight."""
        names: list[str] = self.page.locator("section.wall:visible h2").all_inner_texts()
        return names

    def card(self) -> str:
        """Give the text of the card."""
        text: str = self.page.locator("#card").inner_text()
        # Signs that only keep a line from breaking.
        return text.replace("\u2060", "").replace("\u00a0", " ")


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """Start one browser for all tests of this file."""
    with chromium() as started:
        yield started


@pytest.fixture
def crew(browser: Any, tmp_path: Path) -> Iterator[Crew]:
    """Open a phone: 360 px wide, touched; no fault and no request may come of it."""
    context = browser.new_context(viewport={"width": 360, "height": 740}, has_touch=True)
    own = Crew(context, tmp_path)
    yield own
    assert own.faults == []
    assert all(url.startswith(("file:", "about:")) for url in own.asked)
    context.close()


def test_one_wall_is_shown_and_another_can_be_picked(crew: Crew) -> None:
    """The first wall at first, then the one that is touched, told to screen readers."""
    page = crew.open(two_walls())
    assert crew.walls() == ["Wall A: South"]
    page.get_by_role("link", name="Wall B: North").tap()
    # A touch is done before the page has answered it.
    page.get_by_role("heading", name="Wall B: North").wait_for()
    assert crew.walls() == ["Wall B: North"]
    assert page.locator("nav [aria-current]").all_inner_texts() == ["Wall B: North"]


def test_a_touched_piece_tells_its_cut_sheet(crew: Crew) -> None:
    """Length, ends, notch, sheet, bar and crosscut marks are those of the plan."""
    page = crew.open(PLAN)
    page.locator('svg a[href="#piece-A-2-1"] text').tap()
    text = crew.card()
    # The notch of the window is from 59-1/2 to 96 in, 3-7/8 up; the whole stock length.
    for part in ("A-2-1", '150"', "FACTORY", '59-1/2"', '3-7/8"', "No crosscut", "bar 1"):
        assert part in text
    page.get_by_role("button", name="Close").click()
    page.locator('svg a[href="#piece-A-1-1"] .piece').tap()
    # Bar 2 gives 50-1/2 in from its left end, and 80 in up to its right end.
    assert '70" to 150"' in crew.card()
    assert "bar 2" in crew.card()
    assert '50-1/2"; 70", blade left of the mark' in crew.card()


@pytest.mark.parametrize("anchor", ["B-2-1", "piece-B-2-1", "b-2-1"])
def test_an_anchor_opens_the_wall_and_marks_the_piece(crew: Crew, anchor: str) -> None:
    """A link to a label, as a QR code has it, shows the piece on its wall."""
    page = crew.open(two_walls(), anchor)
    assert crew.walls() == ["Wall B: North"]
    assert crew.card().startswith("B-2-1")
    chosen = page.locator("svg a.chosen")
    assert chosen.get_attribute("href") == "#piece-B-2-1"
    box, card = chosen.bounding_box(), page.locator("#card").bounding_box()
    assert box["y"] >= 0
    assert box["y"] + box["height"] <= card["y"]


def test_an_anchor_of_no_piece_is_said(crew: Crew) -> None:
    """A label of another plan opens the page and says that it is not there."""
    page = crew.open(PLAN, "Z9.9")
    assert page.locator("#said").inner_text() == "No piece is called Z9.9."
    assert crew.walls() == ["Wall A: South"]


def test_labels_are_found_whole_and_in_part(crew: Crew) -> None:
    """A whole label opens its piece, in any case; a part lists all that have it."""
    page = crew.open(two_walls())
    page.get_by_label("Find a piece").fill(" b-3-2 ")
    page.get_by_role("button", name="Find").click()
    assert crew.card().startswith("B-3-2")
    page.get_by_label("Find a piece").fill("-3-")
    page.keyboard.press("Enter")
    assert page.locator("#found a").all_inner_texts() == ["A-3-1", "A-3-2", "B-3-1", "B-3-2"]
    page.get_by_label("Find a piece").fill("Q")
    page.keyboard.press("Enter")
    assert page.locator("#said").inner_text() == "No piece has this label."
    assert page.locator("#found a").count() == 0


def test_a_sheet_marks_its_pieces_on_the_walls(crew: Crew) -> None:
    """Sheet 2 of the small plan is A-2-2 and A-1-1; the wall's button counts them."""
    page = crew.open(PLAN)
    page.get_by_role("link", name="Sheets").tap()
    article = page.locator("article", has_text="A-2-2")
    article.locator("h3 a").tap()
    marked = page.locator("svg a.of-sheet")
    assert {shape.get_attribute("href") for shape in marked.all()} == {
        "#piece-A-2-2",
        "#piece-A-1-1",
    }
    assert "2 marked" in page.locator("nav").inner_text()
    page.get_by_role("button", name="Show on the wall").tap()
    assert crew.walls() == ["Wall A: South"]
    page.get_by_role("button", name="Close").tap()
    assert marked.count() == 0


def test_ticks_stay_after_a_reload_and_are_counted(crew: Crew) -> None:
    """Seven pieces of siding and six of trim: what is ticked is taken off what is left."""
    page = crew.open(PLAN, "A-1-1")
    left = page.locator("section.wall p.left")
    assert "to cut 13, to hang 13 of 13" in left.inner_text()
    page.locator("#card").get_by_label("cut").check()
    page.locator("#card").get_by_label("hung").check()
    page.get_by_role("button", name="Next").click()
    page.locator("#card").get_by_label("cut").check()
    assert "to cut 11, to hang 12 of 13" in left.inner_text()
    page.reload()
    assert "to cut 11, to hang 12 of 13" in left.inner_text()
    course = page.locator("tbody", has=page.locator("#piece-A-1-1")).locator(".left")
    assert course.inner_text() == "to cut 0, to hang 1 of 2"
    assert page.get_by_label("A-1-1 hung").is_checked()
    assert not page.get_by_label("A-1-2 hung").is_checked()
    title = page.locator('svg a[href="#piece-A-1-1"] title').text_content()
    assert title.endswith(", cut, hung")


def test_a_changed_plan_does_not_take_over_ticks(crew: Crew) -> None:
    """The same job with another piece begins without ticks and says so; the old one keeps."""
    page = crew.open(PLAN, "A-1-1")
    page.locator("#card").get_by_label("cut").check()
    changed = replace(PLAN, siding=(replace(PLAN.siding[0], run=2), *PLAN.siding[1:]))
    page = crew.open(changed)
    assert "to cut 13" in page.locator("section.wall p.left").inner_text()
    assert "begins without" in page.locator("#said").inner_text()
    page = crew.open(PLAN)
    assert "to cut 12" in page.locator("section.wall p.left").inner_text()


def test_ticks_are_cleared_only_when_that_is_meant(crew: Crew) -> None:
    """The button asks first."""
    page = crew.open(PLAN, "A-1-1")
    page.locator("#card").get_by_label("hung").check()
    page.get_by_role("button", name="Close").click()
    page.once("dialog", lambda dialog: dialog.dismiss())
    page.get_by_role("button", name="Clear all ticks").click()
    left = page.locator("section.wall p.left")
    assert "to hang 12" in left.inner_text()
    page.once("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Clear all ticks").click()
    assert "to hang 13" in left.inner_text()
    page.reload()
    assert "to hang 13" in left.inner_text()


def test_the_drawing_grows_and_shrinks(crew: Crew) -> None:
    """By buttons, by keys and by the wheel with Ctrl; the page itself stays as wide."""
    page = crew.open(PLAN)
    view, svg = page.locator(".view"), page.locator(".view svg")

    def width() -> float:
        wide: float = svg.bounding_box()["width"]
        return wide

    first = width()
    page.get_by_role("button", name="Larger").tap()
    assert width() == pytest.approx(1.5 * first, abs=1)
    view.focus()
    page.keyboard.press("-")
    assert width() == pytest.approx(first, abs=1)
    view.dispatch_event("wheel", {"deltaY": -300, "ctrlKey": True, "bubbles": True})
    assert width() > 2 * first
    page.keyboard.press("0")
    assert width() <= 360
    assert page.evaluate("document.documentElement.scrollWidth") == 360


def test_two_fingers_zoom(crew: Crew) -> None:
    """Fingers moved twice as far apart make the drawing twice as large."""
    page = crew.open(PLAN)
    before = page.locator(".view svg").bounding_box()["width"]
    page.evaluate(
        """() => {
        const view = document.querySelector(".view");
        const touch = (id, x) => new Touch(
            {identifier: id, target: view, clientX: x, clientY: 500});
        const send = (kind, a, b) => view.dispatchEvent(new TouchEvent(kind,
          {touches: [touch(1, a), touch(2, b)], bubbles: true, cancelable: true}));
        send("touchstart", 130, 190);
        send("touchmove", 100, 220);
        }"""
    )
    assert page.locator(".view svg").bounding_box()["width"] == pytest.approx(2 * before, abs=1)


def test_everything_is_reached_by_keys_alone(crew: Crew) -> None:
    """Tab to the search, to the drawing and its pieces; arrows walk; Escape closes."""
    page = crew.open(PLAN)

    def here() -> str:
        text: str = page.evaluate(
            "document.activeElement.id || document.activeElement.getAttribute('href')"
            " || document.activeElement.getAttribute('class')"
            " || document.activeElement.textContent"
        )
        return text

    seen = []
    for _ in range(40):
        page.keyboard.press("Tab")
        seen.append(here())
        outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert outline != "none" or seen[-1].startswith("#piece-"), seen[-1]
        if seen[-1].startswith("#piece-"):
            break
    assert {"#main", "#wall-A", "wanted", "clear", "scroll view"} <= set(seen)
    assert seen[-1] == "#piece-A-1-1"
    assert crew.card().startswith("A-1-1")
    page.keyboard.press("ArrowRight")
    assert here() == "#piece-A-1-2"
    page.keyboard.press("ArrowUp")
    assert here() in ("#piece-A-2-1", "#piece-A-2-2")
    page.keyboard.press("ArrowDown")
    assert here().startswith("#piece-A-1-")
    page.keyboard.press("Escape")
    assert page.locator("#card").is_hidden()


def test_names_and_contrast(crew: Crew) -> None:
    """Whatever can be used has a name and room for a glove; texts stand out by 4.5 to 1.

    The ratio is that of WCAG 2.2, success criterion 1.4.3; 24 px is 2.5.8's least target,
    44 px that of 2.5.5.
    """
    page = crew.open(PLAN, "A-2-1")
    page.locator("#card").get_by_label("hung").check()
    faults = page.evaluate(
        """() => {
        const light = (c) => { const [r, g, b] = c.map((v) => { v /= 255;
            return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; });
            return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
        const parse = (text) => { const n = text.match(/[\\d.]+/g).map(Number);
            return n.length > 3 && n[3] === 0 ? null : n.slice(0, 3); };
        const ground = (e) => { for (; e; e = e.parentElement) {
            const c = parse(getComputedStyle(e).backgroundColor); if (c) return c; }
            return [255, 255, 255]; };
        const ratio = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p);
            return (x + 0.05) / (y + 0.05); };
        const faults = [];
        for (const e of document.querySelectorAll("body *")) {
            if (!e.checkVisibility() || e.closest("script")) continue;
            const own = [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim());
            if (!own) continue;
            const style = getComputedStyle(e);
            if (e.closest("svg")) {
                const piece = e.closest("a")?.querySelector(".piece");
                const back = piece ? parse(getComputedStyle(piece).fill) : [255, 255, 255];
                if (e.tagName === "text" && ratio(parse(style.fill), back) < 4.5)
                    faults.push("contrast in the drawing: " + e.textContent);
            } else if (ratio(parse(style.color), ground(e)) < 4.5)
                faults.push("contrast: " + e.textContent);
        }
        const soft = getComputedStyle(document.getElementById("wanted"), "::placeholder").color;
        if (ratio(parse(soft), [255, 255, 255]) < 4.5) faults.push("contrast of the hint");
        for (const e of document.querySelectorAll("button, input, nav a, #card a")) {
            if (!e.checkVisibility()) continue;
            const name = e.getAttribute("aria-label") || e.labels?.[0]?.textContent
                || e.textContent;
            if (!name.trim()) faults.push("no name: " + e.outerHTML);
            const box = (e.closest("label") ?? e).getBoundingClientRect();
            if (box.height < 43.9 || box.width < 43.9)
                faults.push("small: " + name + " " + box.height + " × " + box.width);
        }
        for (const e of document.querySelectorAll("[aria-labelledby]"))
            for (const id of e.getAttribute("aria-labelledby").split(" "))
                if (!document.getElementById(id)) faults.push("names nothing: " + id);
        for (const e of document.querySelectorAll("[role=region], [role=group]"))
            if (!e.ariaLabel && !e.getAttribute("aria-labelledby"))
                faults.push("region without name");
        return faults;
        }"""
    )
    assert faults == []


def test_ticks_are_told_apart_without_colour(crew: Crew) -> None:
    """What is cut is underlined, what is hung is struck through."""
    page = crew.open(PLAN, "A-1-1")
    page.locator("#card").get_by_label("cut").check()
    lines = "e => getComputedStyle(e).textDecorationLine"
    label = page.locator('svg a[href="#piece-A-1-1"] .label')
    assert label.evaluate(lines) == "underline"
    page.locator("#card").get_by_label("hung").check()
    assert label.evaluate(lines) == "line-through"


@pytest.mark.parametrize("width", [360, 800, 1400])
@pytest.mark.parametrize("name", ["", "W" * 80, "Ünïcode שלום 家 👷", "</script><b>\"'&"])
def test_no_name_breaks_the_page(crew: Crew, name: str, width: int) -> None:
    """The page never scrolls sideways, in whole or with the card, and every part opens."""
    crew.page.set_viewport_size({"width": width, "height": 740})
    plan = renamed(PLAN, name) if name else PLAN
    page = crew.open(plan, plan.siding[2].label)
    assert plan.siding[2].label in crew.card()
    wide = "document.documentElement.scrollWidth"
    assert page.evaluate(wide) == width
    for link in page.locator("nav a").all():
        link.click()
        assert page.evaluate(wide) == width
    page.goto(page.url.partition("#")[0] + "#sheet-4")
    assert page.locator("svg a.of-sheet").count() > 0
    assert page.evaluate(wide) == width
    assert page.locator("b, img").count() == 0


def test_each_wall_begins_a_page_in_print(crew: Crew) -> None:
    """All walls are printed though one is shown, each at the top of a page, no controls."""
    page = crew.open(two_walls(), "A-1-1")
    page.evaluate("document.getElementById('said').textContent = 'said only on the screen'")
    sheets = PdfReader(BytesIO(page.pdf(prefer_css_page_size=True))).pages
    texts = [" ".join(sheet.extract_text().split()) for sheet in sheets]
    assert "Wall A: South" in texts[0]
    own = [text for text in texts if text.startswith("Wall B: North")]
    assert len(own) == 1
    for text in texts:
        for word in ("Find a piece", "Clear all", "Larger", "said only", "Close", "to hang 13"):
            assert word not in text
    # A letter sheet lies on its side: 11 by 8-1/2 in.
    assert [float(side) for side in sheets[0].mediabox[2:]] == pytest.approx([792, 612], abs=1)


def test_without_script_the_page_is_all_there(browser: Any, tmp_path: Path) -> None:
    """Every wall and table is in sight, nothing that would not work, anchors lead on."""
    context = browser.new_context(java_script_enabled=False)
    file = tmp_path / "page.html"
    file.write_text(elevations_html(two_walls()), "utf-8")
    page = context.new_page()
    page.goto(f"{file.as_uri()}#B-2-1")
    assert page.locator("section:visible").count() == page.locator("section").count()
    assert page.locator("button:visible, input:visible").count() == 0
    assert page.locator("#B-2-1").is_visible()
    context.close()


def test_a_page_opened_without_a_store_still_works(crew: Crew) -> None:
    """Where the browser keeps nothing, ticks work until the page is closed, and it says so."""
    crew.page.add_init_script(
        "Object.defineProperty(window, 'localStorage', {get() { throw new Error('none'); }})"
    )
    page = crew.open(PLAN, "A-1-1")
    assert "keeps no ticks" in page.locator("#said").inner_text()
    page.locator("#card").get_by_label("hung").check()
    assert "to hang 12 of 13" in page.locator("section.wall p.left").inner_text()


def test_a_house_opens_at_once(browser: Any, tmp_path: Path) -> None:
    """A house of 646 pieces: under 3 MB, and less than a second of work for the browser.

    The work is the main thread's own time, so that a busy machine does not count.
    """
    job = ["plan", "demo_jobs/gravel_lane_house.yaml", "--out", str(tmp_path / "house")]
    assert CliRunner().invoke(app, job).exit_code == 0
    file = tmp_path / "house" / "elevations.html"
    assert file.stat().st_size < 3_000_000
    page = browser.new_page(viewport={"width": 360, "height": 740})
    session = page.context.new_cdp_session(page)
    session.send("Performance.enable", {"timeDomain": "threadTicks"})
    page.goto(file.as_uri())
    told = session.send("Performance.getMetrics")["metrics"]
    assert page.locator("td.tick input").count() > 2 * 350
    assert next(each["value"] for each in told if each["name"] == "TaskDuration") < 1
    page.close()
