"""The page in a real browser, as people meet it: on a desktop and a phone, by keyboard alone, at 200 %, in the dark, without script."""

import csv
import re
import socket
import zipfile

import pytest
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

import kit
from browser import DESKTOP, PHONE, Browser
from served import Served

pytestmark = pytest.mark.xdist_group("browser")

PAGES = ["/", "/vehicles", "/templates", "/printers", "/records", "/practice", "/devices", "/printer-test", "/vehicles/our%20van", "/vehicles/our%20van/text"]
STEPS = ["vehicle", "layout", "print?kit=true", "floor", "record"]

# Ways in which people see a page.
WAYS = {
    "desktop": {"size": DESKTOP},
    "phone": {"size": PHONE},
    "zoom": {"size": DESKTOP, "zoom": 2},
    "dark": {"size": DESKTOP, "dark": True},
    "dark-phone": {"size": PHONE, "dark": True},
}


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    with Served(tmp_path_factory.mktemp("shop")) as page:
        client = page.client()
        client.post("/vehicles", {"name": "our van", "of": "delivery-van"})
        client.new_job("order 17")
        yield page


@pytest.mark.parametrize("way", WAYS)
def test_no_page_has_a_serious_fault_or_is_wider_than_its_window(served, way):
    with Browser(served, **WAYS[way]) as browser:
        for path in [*PAGES, *(f"/jobs/order%2017/{step}" for step in STEPS)]:
            browser.go(path)
            assert len(browser.all("h1")) == 1, path
            assert browser.faults() == [], path
            assert browser.overhang() <= 0, path
            assert browser.complaints() == [], path


def test_without_script_a_job_is_made_and_its_kit_is_loaded(served):
    with Browser(served, script=False) as browser:
        browser.go("/")
        assert browser.driver.execute_script("return typeof liveForm") == "undefined", "the page's script is off"
        browser.type("Name or order number", "by hand")
        browser.choose("Vehicle", "city-car")
        browser.choose("Layout template", "target-line")
        browser.press("Start this job")
        browser.until(lambda: browser.path == "/jobs/by%20hand/vehicle")
        browser.press("Print")
        browser.choose("Paper", "Letter")
        browser.press("Save")
        browser.until(lambda: "Do this now" in browser.text, 90)
        browser.press("Load the whole kit (ZIP)")
        with zipfile.ZipFile(browser.loaded("by hand.zip")) as kit:
            names = {name.removeprefix("by hand/") for name in kit.namelist()}
            assert {"stencils.pdf", "overview.pdf", "readings.csv", "job.toml"} <= names and kit.testzip() is None
            assert 'paper = "Letter"' in kit.read("by hand/job.toml").decode()
        browser.go("/jobs/by%20hand/floor")
        browser.one("#reading-0").send_keys("1234")
        browser.one("#row-0 button").click()
        browser.until(lambda: on_disk(served.shop, "by hand")[0] == "1234")
        browser.go("/jobs/by%20hand/record")
        browser.one("#make").click()
        browser.until(lambda: [path for path in (served.shop / "records").iterdir() if path.name.endswith("by hand")], 60)


class Keyboard:
    """Hands that have no mouse: the tabulator until something is in focus, then keys."""

    def __init__(self, browser):
        self.browser = browser

    @property
    def focus(self):
        return self.browser.driver.switch_to.active_element

    def to(self, wanted):
        """Goes on to the first element that is wanted; every one on the way shows that it has the focus."""
        for _ in range(400):
            self.focus.send_keys(Keys.TAB)
            focus = self.focus
            assert focus.value_of_css_property("outline-style") != "none", focus.get_attribute("outerHTML")[:200]
            if wanted(focus):
                return focus
        raise AssertionError(f"never in focus on {self.browser.path}")

    def link(self, address):
        self.to(lambda one: (one.get_attribute("href") or "").endswith(address)).send_keys(Keys.ENTER)
        self.browser.until(lambda: self.browser.path.split("?")[0] == address)

    def named(self, name):
        return self.to(lambda one: one.get_attribute("id") == name)


def test_by_keyboard_alone_a_job_is_done_from_its_first_page_to_its_record(served):
    with Browser(served) as browser:
        keys = Keyboard(browser)
        browser.go("/")
        assert browser.driver.execute_script("return typeof liveForm") == "function", "the page's script is on"
        keys.focus.send_keys(Keys.TAB)
        assert keys.focus.text == "To the content"
        keys.named("name").send_keys("by keys")
        keys.to(lambda one: one.get_attribute("id") == "vehicle").send_keys("delivery")
        keys.to(lambda one: one.text == "Start this job").send_keys(Keys.ENTER)
        browser.until(lambda: browser.path == "/jobs/by%20keys/vehicle")
        keys.link("/jobs/by%20keys/layout")
        keys.named("value-front_gap").send_keys("805", Keys.ENTER)
        browser.until(lambda: '"805"' in (served.shop / "jobs" / "by keys" / "job.toml").read_text())
        keys.link("/jobs/by%20keys/print")
        keys.to(lambda one: one.text == "Make the kit").send_keys(Keys.ENTER)
        browser.until(lambda: "Do this now" in browser.text, 90)
        keys.link("/jobs/by%20keys/floor")
        for number in range(len(browser.all("li[id^='row-']"))):
            found = re.search(r"(\d+) mm ±", row(browser, number).text)
            if found:
                keys.named(f"reading-{number}") if keys.focus.get_attribute("id") != f"reading-{number}" else None
                keys.focus.send_keys(found[1], Keys.ENTER)
            else:
                keys.to(lambda one, number=number: one.text == "On it" and one.find_element(By.XPATH, "ancestor::li").get_attribute("id") == f"row-{number}").send_keys(Keys.ENTER)
            browser.until(lambda number=number: "Saved." in said(browser, number))
        browser.until(lambda: "nside" in browser.one("#verdict").text)
        browser.go("/jobs/by%20keys/record")
        keys.named("technician").send_keys("T. Trainee")
        keys.named("make").send_keys(Keys.ENTER)
        browser.until(lambda: [path for path in (served.shop / "records").iterdir() if path.name.endswith("by keys")], 60)


def test_practice_gives_the_same_sheets_for_the_same_numbers(served):
    with Browser(served) as browser:
        made = []
        for _ in range(2):
            browser.go("/practice")
            browser.type("How many different sheets", "2")
            browser.press("Exercises (PDF)")
            path = browser.loaded("exercises.pdf")
            made.append(path.read_bytes())
            path.unlink()
        assert made[0] == made[1] and made[0].startswith(b"%PDF")


def test_a_printer_is_stored_from_what_was_measured_and_a_slip_is_refused(served):
    with Browser(served) as browser:
        browser.go("/printer-test")
        browser.type("Name of the printer", "office")
        browser.type("Bar across", "19.9")
        browser.type("Upright bar", "200.4")
        browser.press("Store this printer")
        browser.until(lambda: browser.all(".faults"))
        assert browser.field("Bar across").get_attribute("value") == "19.9", "what was typed is still there"
        browser.type("Bar across", "199.6")
        browser.press("Store this printer")
        browser.until(lambda: browser.path == "/printers")
        assert "office" in browser.one("main").text
        stored = served.shop / "printers" / "office.toml"
        assert "199.6" in stored.read_text() or "1.002" in stored.read_text()
        browser.go("/jobs/order%2017/print")
        browser.choose("Printer", "office")
        browser.press("Save")
        browser.until(lambda: "Do this now" in browser.text, 90)
        assert '"../../printers/office.toml"' in (served.shop / "jobs" / "order 17" / "job.toml").read_text()


# What somebody measured on a van, in the order of the page.
MEASURED = {
    "1 Wheelbase, left": "3452", "3 Front overhang": "1008", "4 Rear overhang": "1.092 m", "5 Front track": "1736", "6 Rear track": "1729",
    "7 Tyre width, taped": "236", "8 Overall width": "80 7/8 in", "9 Width over mirrors": "2481",
}

# How readings lie beside what they should be, mm: as people tape, well within every limit.
BESIDE = [0, 1, -1, 0, 1, 0, -1]


def typed(browser, element, text):
    """Types as a person: the field is in sight, and is left with the tabulator."""
    browser.driver.execute_script("arguments[0].scrollIntoView({block: 'center'}); arguments[0].focus(); arguments[0].select()", element)
    element.send_keys(text, Keys.TAB)


def row(browser, number):
    return browser.one(f"#row-{number}")


def said(browser, number):
    return row(browser, number).find_element(By.CSS_SELECTOR, ".said").text


def read_row(browser, number):
    """Types the reading of a row beside what it should be; what was typed."""
    form = row(browser, number).find_element(By.TAG_NAME, "form")
    off = BESIDE[number % len(BESIDE)]
    found = re.search(r"(\d+) mm ±", form.text)
    if found:
        text = str(int(found[1]) + off)
        typed(browser, browser.one(f"#reading-{number}"), text)
    else:
        text = "0"
        button = form.find_element(By.XPATH, ".//button[normalize-space()='On it']")
        browser.driver.execute_script("arguments[0].scrollIntoView({block: 'center'}); arguments[0].click()", button)
    browser.until(lambda: "Saved" in said(browser, number) or "nside" in said(browser, number) or "utside" in said(browser, number))
    return text


def on_disk(shop, job):
    """Readings as they stand in the job's file, row by row."""
    with open(shop / "jobs" / job / "readings.csv", encoding="utf-8", newline="") as file:
        return [line["reading_mm"] for line in csv.DictReader(file)]


def test_a_vehicle_is_measured_and_its_record_printed_and_a_power_cut_loses_no_reading(tmp_path):
    """From the first page to the record, with the words of the page as only help; readings on a phone."""
    shop = tmp_path / "shop"
    port = free_port()
    with Served(shop, "--port", port) as served:
        with Browser(served) as browser:
            browser.go("/")
            browser.driver.find_element(By.LINK_TEXT, "measuring sheet").click()
            assert browser.loaded("measuring-sheet.pdf").read_bytes().startswith(b"%PDF")
            browser.type("Name or order number", "order 4711")
            browser.choose("Vehicle", "a new vehicle")
            browser.choose("Layout template", "perimeter-lines")
            browser.press("Start this job")
            browser.until(lambda: browser.path == "/jobs/order%204711/vehicle")
            typed(browser, browser.field("1 Wheelbase, left"), "345")
            browser.until(lambda: "1200 to 7000" in browser.one("#look-wheelbase_left").text)
            for label, text in MEASURED.items():
                typed(browser, browser.field(label), text)
            browser.until(lambda: "3452 mm = 135 7/8 in" in browser.one("#look-wheelbase_left").text)
            browser.driver.execute_script("document.getElementById('front_overhang').focus()")
            shown = [one.get_attribute("class") for one in browser.all(".drawn .picture") if one.is_displayed()]
            assert shown == ["picture of-front_overhang"], "the dimension that is being typed lights up"
            browser.until(lambda: "5552 mm" in browser.one("#look-sums").text)
            browser.press("Save the vehicle")
            browser.until(lambda: (shop / "vehicles" / "order 4711.toml").read_text().count("3452") == 1)
            browser.press("2 Layout") if any(one.text == "2 Layout" for one in browser.all("a")) else browser.press("Layout")
            took = []
            for gap in ["800", "810", "820", "830", "840"]:
                before = browser.one("#overview img").get_attribute("src")
                typed(browser, browser.field("Front gap"), gap)
                browser.until(lambda before=before: browser.all("#overview img") and browser.one("#overview img").get_attribute("src") != before)
                took.append(int(browser.one("#layout-form").get_attribute("data-took")))
            print("from key to picture, ms:", took)
            browser.press("Save the layout")
            browser.until(lambda: '"840"' in (shop / "jobs" / "order 4711" / "job.toml").read_text())
            browser.go("/jobs/order%204711/print")
            browser.press("Make the kit")
            browser.until(lambda: "Do this now" in browser.text, 90)
        with Browser(served, size=PHONE) as browser:
            browser.go("/jobs/order%204711/floor")
            rows = len(browser.all("li[id^='row-']"))
            assert rows == len(on_disk(shop, "order 4711")) > 10
            wrote = [read_row(browser, number) for number in range(rows // 2)]
            served.kill()
            assert on_disk(shop, "order 4711")[: rows // 2] == wrote, "what was said to be saved is on the disk"
            typed(browser, browser.one(f"#reading-{rows // 2}"), "77")
            browser.until(lambda: "ot saved" in said(browser, rows // 2))
            served.start()
            browser.until(lambda: on_disk(shop, "order 4711")[rows // 2] == "77", 30)
            browser.go("/jobs/order%204711/floor")
            wrote += [read_row(browser, number) for number in range(rows // 2, rows)]
            assert on_disk(shop, "order 4711") == wrote
            browser.until(lambda: "nside" in browser.one("#verdict").text)
            assert browser.one("#verdict img").get_attribute("naturalWidth") != "0"
            browser.go("/jobs/order%204711/record")
            browser.type("Who laid it out and taped it", "T. Trainee")
            browser.press("Save and make the record")
            browser.until(lambda: browser.all("a[href$='record.pdf']"), 60)
            browser.go("/records")
            assert "order 4711" in browser.one("main").text
            kept = [path for path in (shop / "records").iterdir() if path.is_dir()]
            names = {path.name for path in kept[0].rglob("*")}
            assert len(kept) == 1 and {"record.pdf", "readings.csv", "job.toml", "stencils.pdf"} <= names
    done = kit.run("check", shop / "jobs" / "order 4711" / "readings.csv")
    assert done.returncode == 0 and "inside" in done.stdout.lower(), "the command judges the same files the same way"


def test_two_people_in_one_row_see_both_readings_and_none_is_lost(served):
    with Browser(served) as first, Browser(served, size=PHONE) as second:
        for browser in (first, second):
            browser.go("/jobs/order%2017/floor")
        typed(first, first.one("#reading-1"), "1761")
        first.until(lambda: on_disk(served.shop, "order 17")[1] == "1761")
        typed(second, second.one("#reading-1"), "1759")
        second.until(lambda: "1761" in row(second, 1).text and "1759" in row(second, 1).get_attribute("innerHTML"))
        assert on_disk(served.shop, "order 17")[1] == "1761"


def free_port():
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return one.getsockname()[1]
