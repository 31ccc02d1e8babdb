"""Debian's Chromium, driven as a person drives it: what is on the page is found by its label, and pressed or typed into."""

import os
import shutil
import tempfile
from pathlib import Path

from selenium import webdriver
from selenium.common.exceptions import StaleElementReferenceException
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import Select, WebDriverWait

import kit

AXE_VARIABLE = "BAYSTENCIL_AXE"
AXE = Path(os.environ.get(AXE_VARIABLE, kit.ROOT / "target" / "axe" / "node_modules" / "axe-core" / "axe.min.js"))

DESKTOP, PHONE = (1280, 900), (390, 844)

# Faults of these weights are none that a page may have.
SERIOUS = {"serious", "critical"}

# A browser in a closed network: nothing of its own in the background.
ARGUMENTS = [
    "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--disable-dev-shm-usage", "--force-device-scale-factor=1",
]


class Browser:
    """A browser with a profile of its own; a context."""

    def __init__(self, served, size=DESKTOP, dark=False, script=True, zoom=1):
        self.served, self.size, self.dark, self.script, self.zoom = served, size, dark, script, zoom

    def __enter__(self):
        self.profile = tempfile.mkdtemp(prefix="baystencil-browser-")
        self.downloads = Path(self.profile) / "downloads"
        options = webdriver.ChromeOptions()
        options.binary_location = shutil.which("chromium")
        for argument in [*ARGUMENTS, f"--user-data-dir={self.profile}", f"--window-size={self.size[0]},{self.size[1]}"]:
            options.add_argument(argument)
        preferences = {"download.default_directory": str(self.downloads), "plugins.always_open_pdf_externally": True}
        if not self.script:
            preferences["profile.managed_default_content_settings.javascript"] = 2
        options.add_experimental_option("prefs", preferences)
        options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
        self.driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(shutil.which("chromedriver")))
        width, height = self.size
        # A page at 200 % has half the room: so many CSS pixels less.
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {
            "width": width // self.zoom, "height": height // self.zoom, "deviceScaleFactor": self.zoom, "mobile": self.size == PHONE,
        })
        self.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": [{"name": "prefers-color-scheme", "value": "dark" if self.dark else "light"}]})
        self.go(f"/open?key={self.served.key}")
        return self

    def __exit__(self, *_):
        self.driver.quit()
        shutil.rmtree(self.profile, ignore_errors=True)

    def go(self, path):
        self.driver.get(f"{self.served.address}{path}")

    @property
    def path(self):
        return self.driver.current_url.removeprefix(self.served.address)

    @property
    def text(self):
        return self.driver.find_element(By.TAG_NAME, "body").text

    def one(self, selector):
        return self.driver.find_element(By.CSS_SELECTOR, selector)

    def all(self, selector):
        return self.driver.find_elements(By.CSS_SELECTOR, selector)

    def until(self, condition, seconds=30):
        """Waits; an element that the page replaces meanwhile is looked for again."""
        wait = WebDriverWait(self.driver, seconds, poll_frequency=0.02, ignored_exceptions=[StaleElementReferenceException])
        return wait.until(lambda _: condition())

    def field(self, label):
        """The input that a label is for, by the beginning of its words."""
        for one in self.driver.find_elements(By.TAG_NAME, "label"):
            if one.text.strip().startswith(label):
                named = one.get_attribute("for")
                return self.driver.find_element(By.ID, named) if named else one.find_element(By.CSS_SELECTOR, "input, select, textarea")
        raise AssertionError(f"no field {label!r} on {self.path}: {self.text}")

    def type(self, label, text):
        field = self.field(label)
        field.clear()
        field.send_keys(text)

    def choose(self, label, text):
        Select(self.field(label)).select_by_visible_text(text)

    def press(self, name):
        """A button or link by its words; waits for the page that follows."""
        found = [one for one in self.all("button, a, summary") if one.is_displayed() and one.text.strip() == name]
        assert found, f"no {name!r} on {self.path}: {self.text}"
        self.driver.execute_script("arguments[0].scrollIntoView({block: 'center'})", found[0])
        found[0].click()

    def faults(self):
        """What axe finds that is serious."""
        self.driver.execute_script(AXE.read_text(encoding="utf-8"))
        found = self.driver.execute_async_script("const done = arguments[0]; axe.run().then(done);")
        return [
            (fault["id"], fault["help"], [node["html"][:200] for node in fault["nodes"]][:4])
            for fault in found["violations"] if fault["impact"] in SERIOUS
        ]

    def overhang(self):
        """By how many CSS pixels the page is wider than its window."""
        return self.driver.execute_script("return document.documentElement.scrollWidth - document.documentElement.clientWidth")

    def complaints(self):
        """What the browser itself wrote: errors, and what the page's policy kept out."""
        return [entry["message"] for entry in self.driver.get_log("browser") if entry["level"] in ("SEVERE", "WARNING")]

    def loaded(self, name, seconds=120):
        """A file that was downloaded, once it is whole."""
        path = self.downloads / name
        self.until(lambda: path.is_file() and not list(self.downloads.glob("*.crdownload")), seconds)
        return path
