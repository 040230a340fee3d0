"""The server and the browser of the tests of the pages."""

import shutil

import pytest
from playwright.sync_api import expect, sync_playwright

from tests.browser.browsing import DESK, PATIENCE, SHIFTS, Watch, new_house, serving

QUIET = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip


@pytest.fixture(scope="session")
def served(tmp_path_factory):
    """A server for the whole run, and its book."""
    with serving(tmp_path_factory.mktemp("browser")) as both:
        yield both


@pytest.fixture(scope="session")
def chromium():
    """One browser for the whole run."""
    program = shutil.which("chromium")
    if program is None:
        pytest.fail("chromium is not there: make test installs it (Debian: chromium)", pytrace=False)
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=program, args=list(QUIET))
        yield browser
        browser.close()


@pytest.fixture
def browse(chromium, served):
    """Opens a page in a context of its own: `browse(**context)`; at the end nothing may have gone wrong in any."""
    opened = []

    def new(address=served[0].address, **context):
        made = chromium.new_context(base_url=address, **{"viewport": DESK} | context)
        made.set_default_timeout(PATIENCE)
        made.add_init_script(SHIFTS)
        page, watch = made.new_page(), Watch(address)
        watch.follow(page)
        page.watch = watch
        opened.append((made, watch))
        return page

    expect.set_options(timeout=PATIENCE)
    yield new
    for made, _ in opened:
        made.close()
    assert [watch.unexpected() for _, watch in opened] == [([], [])] * len(opened)


@pytest.fixture
def page(browse):
    """A page at a desk."""
    return browse()


@pytest.fixture
def house(served):
    """The address of a small new house."""
    return new_house(served[1])[0]
