"""Who gets into the page, and what nobody gets from it: attacked by a client of its own, on this machine alone."""

import re
import shutil
import socket
import subprocess
import threading
import time
import uuid
from pathlib import Path

import pytest

from served import Client, Served

PAGES = [
    "/", "/vehicles", "/templates", "/printers", "/records", "/practice", "/devices", "/printer-test", "/printer-test.pdf",
    "/measuring-sheet.pdf", "/jobs/one/vehicle", "/jobs/one/layout", "/jobs/one/print", "/jobs/one/floor", "/jobs/one/record", "/jobs/one/kit.zip",
    "/jobs/one/kit/stencils.pdf", "/practice/set?level=1",
]

# Names that would lead out of the shop's folder, as they stand in an address.
ODD_NAMES = [
    "..", "%2e%2e", "..%2f..%2fsecret", "%2e%2e%2fsecret", "..%5csecret", "%2fetc%2fpasswd", "secret%00", ".hidden", "%E2%80%AE", "a%2f..%2f..%2fsecret",
    "nul", "C%3A", "x" * 300,
]


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shop")
    (folder / "secret.toml").write_text('format = "vehicle/1"\nname = "TOP SECRET"\n')
    (folder / "job.toml").write_text('format = "job/1"\nname = "TOP SECRET"\n')
    with Served(folder / "shop") as page:
        page.client().new_job("one")
        kept = folder / "shop" / "records" / "2026-03-02 one"
        kept.mkdir()
        (kept / "job.toml").write_text((folder / "shop" / "jobs" / "one" / "job.toml").read_text())
        (kept / "record.pdf").write_bytes(b"%PDF")
        assert page.client().get("/records/2026-03-02%20one/files/record.pdf").body == b"%PDF"
        yield page


def test_without_a_key_nobody_sees_or_changes_anything(served):
    for cookie in [None, "baystencil=", "baystencil=" + "0" * 64, "other=" + served.key]:
        stranger = Client(served.host)
        stranger.cookie = cookie
        for path in PAGES:
            answer = stranger.get(path)
            assert answer.status == 401 and "one" not in re.findall(r"<td>.*?</td>", answer.text), path
        assert stranger.post("/jobs", {"name": "stolen", "vehicle": "delivery-van", "template": "perimeter-lines"}).status == 401
    assert not (Path(served.shop) / "jobs" / "stolen").exists()


def test_only_the_right_key_opens_and_the_cookie_is_for_this_site_and_no_script(served):
    for key in ["", "0" * 64, served.key[:-1], served.key.upper() + "0"]:
        answer = Client(served.host).get(f"/open?key={key}")
        assert answer.status == 401 and "set-cookie" not in answer.headers
    answer = Client(served.host).get(f"/open?key={served.key}")
    cookie = answer.headers["set-cookie"]
    assert answer.status == 303 and answer.headers["location"] == "/"
    assert served.key not in cookie, "the key of the address does not lie in the browser"
    assert {"httponly", "samesite=strict", "path=/"} <= {part.strip().lower() for part in cookie.split(";")[1:]}


@pytest.mark.parametrize("host", ["evil.example", "evil.example:{port}", "127.0.0.1", "0.0.0.0:{port}", "127.0.0.1:1", "[::1]:{port}", ""])
def test_another_host_is_refused_even_with_the_cookie(served, host):
    client = served.client()
    answer = client.get("/", headers={"Host": host.format(port=served.port)})
    assert answer.status in (400, 421) and b"Jobs in this shop" not in answer.body


def test_two_hosts_are_none(served):
    client = served.client()
    assert client.get("/", headers={"Host": [served.host, "evil.example"]}).status in (400, 421)


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": None},
        {"Origin": "null"},
        {"Origin": "http://evil.example"},
        {"Origin": "https://127.0.0.1:{port}"},
        {"Origin": "http://127.0.0.1"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_what_a_page_elsewhere_posts_changes_nothing(served, headers):
    client = served.client()
    headers = {name: value and value.format(port=served.port) for name, value in headers.items()}
    name = f"forged {uuid.uuid4().hex[:8]}"
    answer = client.post("/jobs", {"name": name, "vehicle": "delivery-van", "template": "perimeter-lines"}, headers=headers)
    assert answer.status == 403
    assert not (Path(served.shop) / "jobs" / name).exists()


def test_every_answer_keeps_scripts_frames_and_sniffing_out(served):
    client = served.client()
    for path in ["/", "/devices", "/nothing-here", "/style.css", "/jobs/one/print", "/printer-test.pdf"]:
        answer = client.get(path)
        policy = dict(part.strip().partition(" ")[::2] for part in answer.headers["content-security-policy"].split(";"))
        assert policy["default-src"] == "'none'" and policy["script-src"] == "'self'" and policy["frame-ancestors"] == "'none'"
        assert policy["form-action"] == "'self'" and policy["base-uri"] == "'none'" and "unsafe" not in str(policy)
        assert answer.headers["x-content-type-options"] == "nosniff" and answer.headers["referrer-policy"] == "same-origin"
        assert answer.headers["cache-control"] == "no-store"
        assert not re.search(r"<script(?![^>]*\bsrc=)|\son\w+=|\sstyle=", answer.text if path != "/printer-test.pdf" else ""), path


@pytest.mark.parametrize("name", ODD_NAMES)
def test_no_name_leads_out_of_the_shops_folder(served, name):
    client = served.client()
    paths = [
        f"/vehicles/{name}", f"/vehicles/{name}/text", f"/templates/{name}/text", f"/printers/{name}/text", f"/jobs/{name}/vehicle", f"/jobs/{name}/print",
        f"/jobs/one/kit/{name}", f"/jobs/{name}/kit.zip", f"/jobs/{name}/floor", f"/jobs/{name}/record", f"/records/{name}", f"/records/{name}/files/record.pdf", f"/records/{name}/all", f"/records/{name}/picture",
        f"/records/2026-03-02%20one/files/{name}", f"/pictures/template.svg?of={name}", f"/pictures/template.svg?of=../../../{name}.toml",
        "/pictures/template.svg?of=../../../secret.toml", f"/practice/set?level=1&kind=primer&count=1&seed=1&paper=A4&vehicle={name}&template=../../../secret.toml",
    ]
    for path in paths:
        answer = client.get(path)
        assert answer.status in (303, 400, 404, 405, 422) or "Please correct this" in answer.text, (path, answer.status)
        assert "SECRET" not in answer.body.decode("utf-8", "replace")
    before = sorted(Path(served.shop).parent.rglob("*"))
    for shelf in ["vehicles", "templates", "printers", "jobs", "records"]:
        for what in ["copy", "put-away", "text"]:
            answer = client.post(f"/{shelf}/{name}/{what}", {"name": "x", "text": "", "version": ""})
            assert answer.status in (400, 404, 405, 422), (shelf, what, answer.status)
    assert sorted(Path(served.shop).parent.rglob("*")) == before


@pytest.mark.parametrize("typed", ["../../evil", "..", "a/b", "/etc/cron.d/x", "x\\..\\y", "\u202eevil", "a\nb"])
def test_a_typed_name_becomes_a_plain_one_in_its_folder_or_is_refused(served, typed):
    shop = Path(served.shop)
    outside = sorted(path for path in shop.parent.iterdir() if path != shop)
    answer = served.client().post("/jobs", {"name": typed, "vehicle": "delivery-van", "template": "perimeter-lines"})
    assert answer.status in (303, 409, 422)
    assert sorted(path for path in shop.parent.iterdir() if path != shop) == outside
    assert all(path.parent == shop / "jobs" for path in (shop / "jobs").iterdir())


def test_a_job_cannot_be_made_to_show_a_file_from_elsewhere(served):
    client = served.client()
    for vehicle in ["../../../secret.toml", "/etc/passwd", str(Path(served.shop).parent / "secret.toml")]:
        name = f"odd {uuid.uuid4().hex[:8]}"
        answer = client.post("/jobs", {"name": name, "vehicle": vehicle, "template": "perimeter-lines"})
        assert answer.status == 422, vehicle
        assert not (Path(served.shop) / "jobs" / name).exists()
    file = Path(served.shop) / "jobs" / "one" / "job.toml"
    before = file.read_text()
    for path, field in [("vehicle/choose", "vehicle"), ("layout/template", "template"), ("print", "printer")]:
        for named in ["../../../secret.toml", "/etc/passwd", "../one/job.toml", "../../vehicles/none.toml"]:
            version = re.search(r'name="version" value="(\w+)"', client.get("/jobs/one/print").text)[1]
            answer = client.post(f"/jobs/one/{path}", {"version": version, field: named})
            assert answer.status == 422 and "SECRET" not in answer.text, (path, named)
            assert file.read_text() == before


def test_what_is_too_large_is_refused_and_what_is_slow_is_closed(served):
    client = served.client()
    assert client.post("/jobs", {"name": "x" * 400_000}).status == 413
    assert client.ask("POST", "/jobs", body=b"\xff" * 100, headers={"Content-Type": "application/x-www-form-urlencoded"}).status in (400, 415, 422)
    with socket.create_connection(("127.0.0.1", served.port), timeout=60) as slow:
        slow.sendall(b"GET / HTTP/1.1\r\nHost: ")
        began = time.monotonic()
        rest = slow.recv(1000)
        assert time.monotonic() - began < 45 and b"200" not in rest, "a head that never ends is not waited for"
    assert client.get("/").status == 200


def test_only_this_machine_is_listened_for(served):
    rows = Path("/proc/net/tcp").read_text().splitlines()[1:] + Path("/proc/net/tcp6").read_text().splitlines()[1:]
    listening = [row.split()[1] for row in rows if row.split()[3] == "0A" and int(row.split()[1].split(":")[1], 16) == served.port]
    assert [place.split(":")[0] for place in listening] == ["0100007F"]


def test_twenty_clients_a_thousand_requests_no_error_and_memory_flat(tmp_path):
    with Served(tmp_path / "shop") as page:
        folder = page.client().new_job("busy")
        paths = ["/", "/vehicles", "/templates", f"{folder}/print", f"{folder}/vehicle", f"{folder}/layout", f"{folder}/floor", "/practice", "/records", "/style.css"]
        wrong = []

        def work(client):
            for turn in range(50):
                answer = client.get(paths[turn % len(paths)])
                if answer.status != 200:
                    wrong.append((paths[turn % len(paths)], answer.status))

        def round_of_all():
            threads = [threading.Thread(target=work, args=(client,)) for client in clients]
            for thread in threads:
                thread.start()
            for thread in threads:
                thread.join()
            return resident(page.process.pid)

        clients = [page.client() for _ in range(20)]
        first = round_of_all()
        second = round_of_all()
        assert not wrong
        assert second < first * 1.2 + 8, f"{first:.0f} MB after 1 000 requests, {second:.0f} MB after 2 000"


def resident(pid):
    """Memory of a process, MB."""
    status = Path(f"/proc/{pid}/status").read_text()
    return int(re.search(r"VmRSS:\s+(\d+) kB", status)[1]) / 1024


def test_what_somebody_else_changed_is_not_written_over(tmp_path):
    with Served(tmp_path / "shop") as page:
        first, second = page.client(), page.client()
        first.post("/vehicles", {"name": "our van", "of": "delivery-van"})
        read = [re.search(r'name="version" value="(\w+)"', client.get("/vehicles/our%20van/text").text)[1] for client in (first, second)]
        text = (tmp_path / "shop" / "vehicles" / "our van.toml").read_text()
        assert first.post("/vehicles/our%20van/text", {"version": read[0], "text": text.replace("3450", "3460")}).status == 303
        refused = second.post("/vehicles/our%20van/text", {"version": read[1], "text": text.replace("3450", "3470")})
        assert refused.status == 409 and "3460 mm" in refused.text, "what stands there now is shown"
        assert "3460 mm" in (tmp_path / "shop" / "vehicles" / "our van.toml").read_text()


NAMESPACES = shutil.which("ip") and subprocess.run(["ip", "netns", "list"], capture_output=True, check=False).returncode == 0


@pytest.fixture
def phone(tmp_path):
    """A shop's computer and a phone on one network: two namespaces that this test makes itself."""
    tag = uuid.uuid4().hex[:6]
    shop, phone = f"bs-shop-{tag}", f"bs-phone-{tag}"

    def ip(*words):
        return subprocess.run(["ip", *words], check=True, capture_output=True)

    made = []
    try:
        for name in (shop, phone):
            ip("netns", "add", name)
            made.append(name)
            ip("-n", name, "link", "set", "lo", "up")
        ip("link", "add", f"s{tag}", "netns", shop, "type", "veth", "peer", "name", f"p{tag}", "netns", phone)
        for name, link, address in [(shop, f"s{tag}", "192.168.77.1/24"), (phone, f"p{tag}", "192.168.77.2/24")]:
            ip("-n", name, "address", "add", address, "dev", link)
            ip("-n", name, "link", "set", link, "up")
        yield shop, phone
    except subprocess.CalledProcessError as error:
        pytest.skip(f"no network namespaces here: {error.stderr}")
    finally:
        for name in made:
            subprocess.run(["ip", "netns", "del", name], check=False, capture_output=True)


CURL = ["curl", "--silent", "--max-time", "20", "--dump-header", "-"]


def through(namespace, *words):
    """What curl gets in a namespace: status and all that came back."""
    done = subprocess.run(["ip", "netns", "exec", namespace, *CURL, *words], capture_output=True, text=True, check=False)
    found = re.match(r"HTTP/1\.1 (\d+)", done.stdout)
    return int(found[1]) if found else None, done.stdout


@pytest.mark.skipif(not NAMESPACES or not shutil.which("curl"), reason="ip or curl is missing")
def test_a_phone_gets_in_by_a_code_once_and_can_be_put_out(tmp_path, phone):
    shop, away = phone
    with Served(tmp_path / "shop", "--lan", within=("ip", "netns", "exec", shop)) as page:
        said = "\n".join(page.said)
        assert "not encrypted" in said
        code = re.search(rf"http://192\.168\.77\.1:{page.port}/join\?code=(\w+)", said)[1]
        base = f"http://192.168.77.1:{page.port}"
        assert through(away, f"{base}/")[0] == 401
        assert through(away, f"{base}/open?key={'0' * 64}")[0] == 401
        for host in [f"192.168.77.1:{page.port}", f"127.0.0.1:{page.port}"]:
            opened = through(away, "--header", f"Host: {host}", f"{base}/open?key={page.key}")
            assert opened[0] == 401 and "set-cookie" not in opened[1].lower(), "the computer's key opens nothing from elsewhere"
        assert through(away, f"{base}/join?code={code}")[0] == 200, "opening the address uses nothing up"
        assert through(away, f"{base}/join?code={code}")[0] == 200
        join = ["--data", f"code={code}&name=my+phone", "--header", f"Origin: {base}", f"{base}/join"]
        status, reply = through(away, *join)
        cookie = re.search(r"set-cookie: ([^;]+)", reply)[1]
        assert status == 303
        assert through(away, *join)[0] == 401, "a code lets one phone in"
        own = ["--header", f"Cookie: {cookie}"]
        status, reply = through(away, *own, f"{base}/")
        assert status == 200 and "Jobs in this shop" in reply
        devices = through(away, *own, f"{base}/devices")[1]
        assert "my phone (this one)" in devices and "/devices/out" not in devices and "code.svg" not in devices
        for path in ["/devices/code", "/devices/out"]:
            assert through(away, *own, "--data", "number=1", "--header", f"Origin: {base}", f"{base}{path}")[0] == 403
        assert through(away, *own, "--header", f"Host: evil.example:{page.port}", f"{base}/")[0] == 421
        here = f"http://127.0.0.1:{page.port}"
        reply = through(shop, f"{here}/open?key={page.key}")[1]
        computer = ["--header", "Cookie: " + re.search(r"set-cookie: ([^;]+)", reply)[1]]
        assert through(shop, *computer, f"{here}/")[0] == 200
        assert through(away, *computer, "--header", f"Host: 127.0.0.1:{page.port}", f"{base}/")[0] == 401, "nor does its cookie"
        listed = through(shop, *computer, f"{here}/devices")[1]
        number = re.search(r"my phone</td>.*?name=\"number\" value=\"(\d+)\"", listed, re.S)[1]
        assert through(shop, *computer, "--data", f"number={number}", "--header", f"Origin: {here}", f"{here}/devices/out")[0] == 303
        assert through(away, *own, f"{base}/")[0] == 401, "put out"
        through(shop, *computer, "--data", "", "--header", f"Origin: {here}", f"{here}/devices/code")
        fresh = re.search(r'class="code">(\w+)<', through(shop, *computer, f"{here}/devices")[1])[1]
        for _ in range(10):
            assert through(away, "--data", "code=AAAAAAAA", "--header", f"Origin: {base}", f"{base}/join")[0] == 401
        assert through(away, "--data", f"code={fresh}", "--header", f"Origin: {base}", f"{base}/join")[0] == 401, "ten wrong codes end it"
