"""`baystencil serve` as a process of its own, and a client that speaks HTTP to it as any program can."""

import http.client
import os
import re
import signal
import subprocess
import threading
import urllib.parse
from dataclasses import dataclass
from pathlib import Path

import kit

ADDRESS = re.compile(r"http://127\.0\.0\.1:(\d+)/open\?key=([0-9a-f]{64})")

# How long the program may take to say where it is, seconds.
START = 30


@dataclass
class Answer:
    """What came back."""

    status: int
    headers: dict
    body: bytes

    @property
    def text(self):
        return self.body.decode("utf-8")


class Served:
    """The page of a shop's folder; a context."""

    def __init__(self, shop, *flags, within=()):
        """`within` is put before the command, to run it in a network namespace."""
        self.shop, self.flags, self.within = Path(shop), flags, within

    def __enter__(self):
        self.start()
        return self

    def __exit__(self, *_):
        self.kill()

    def start(self):
        command = [*self.within, str(kit.BINARY), "serve", "--shop", str(self.shop), *map(str, self.flags)]
        environment = {**os.environ, "NO_COLOR": "1"}
        self.process = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, env=environment)
        self.said, ready = [], threading.Event()

        def listen():
            for line in self.process.stderr:
                self.said.append(line.rstrip("\n"))
                if "Ctrl-C" in line:
                    ready.set()
            ready.set()

        threading.Thread(target=listen, daemon=True).start()
        assert ready.wait(START), self.said
        found = ADDRESS.search("\n".join(self.said))
        assert found, self.said
        self.port, self.key = int(found[1]), found[2]
        self.host = f"127.0.0.1:{self.port}"
        self.address = f"http://{self.host}"

    def kill(self):
        """Ends it as a power cut would."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def client(self):
        """A client that is in."""
        client = Client(self.host)
        answer = client.get(f"/open?key={self.key}")
        assert answer.status == 303, answer
        return client


class Client:
    """A browser as far as its headers go: one cookie, and the origin of what it posts."""

    def __init__(self, host):
        self.host, self.cookie = host, None

    def ask(self, method, path, fields=None, headers=None, body=None):
        given = {"Host": self.host, "Cookie": self.cookie, "Origin": f"http://{self.host}" if method == "POST" else None}
        if fields is not None:
            body = urllib.parse.urlencode(fields).encode()
            given["Content-Type"] = "application/x-www-form-urlencoded"
        given.update(headers or {})
        name, port = self.host.split(":")
        connection = http.client.HTTPConnection(name, int(port), timeout=120)
        try:
            connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
            if body is not None:
                given["Content-Length"] = str(len(body))
            for header, value in given.items():
                for one in value if isinstance(value, list) else [value]:
                    if one is not None:
                        connection.putheader(header, one)
            connection.endheaders(body)
            reply = connection.getresponse()
            answer = Answer(reply.status, {name.lower(): value for name, value in reply.getheaders()}, reply.read())
        finally:
            connection.close()
        if cookie := answer.headers.get("set-cookie"):
            self.cookie = cookie.split(";")[0]
        return answer

    def get(self, path, **more):
        return self.ask("GET", path, **more)

    def post(self, path, fields, **more):
        return self.ask("POST", path, fields, **more)

    def new_job(self, name, vehicle="delivery-van", template="perimeter-lines", units="mm"):
        """Makes a job from the first page."""
        answer = self.post("/jobs", {"name": name, "vehicle": vehicle, "template": template, "units": units})
        assert answer.status == 303, answer.text
        return answer.headers["location"].rsplit("/", 1)[0]
