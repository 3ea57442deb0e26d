"""Fuzzing of the server: every route of the JSON API, every form and upload of the pages.

Half of the requests go to a server without accounts, half to one on the shop's network with three
people signed in. No answer may be a fault of the server, none may hold a trace, every refusal says
field, value and what is allowed; the book only ever grows, its chain holds, and no record is lost.
"""

from __future__ import annotations

import json
import random
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from benchmarks.fuzz_grow import ODD_TEXTS, changed, json_changed
from underset.app import Actor, Shop, accounts, bookkeeping, runs
from underset.web import ServeOptions

TODAY = date(2026, 11, 20)
PINS = {"jorun": "748105", "tavi": "291846", "sunniva": "605937"}
ROLES = {"jorun": ("lead",), "tavi": ("technician",), "sunniva": ("inspector",)}
LAN = ServeOptions(hosts=("testserver",), lan=True, rate_per_minute=1_000_000)
OPEN = ServeOptions(hosts=("testserver",), rate_per_minute=1_000_000)
CHECKED_EVERY = 200  # requests after which the whole book is walked
MOST_FOUND = 12
# What a server may answer; 503 would mean that the store gave way.
FINE = frozenset((200, 201, 204, 303, 307, 400, 401, 403, 404, 405, 409, 411, 413, 422, 429))


@dataclass
class Told:
    """What a run has counted and found."""

    inputs: int = 0
    refused: int = 0
    slowest: float = 0.0
    faults: dict[str, str] = field(default_factory=dict)  # each with where it was first seen
    answers: Counter[tuple[str, int]] = field(default_factory=Counter)

    def row(self, target: str, seconds: float) -> dict[str, Any]:
        """The counts as the runner prints them."""
        reached = {route for route, code in self.answers if code < 400}
        return {
            "target": target, "inputs": self.inputs, "refused": self.refused,
            "seconds": round(seconds, 1), "slowest": round(self.slowest, 3),
            "found": [f"{k} ({v})"[:600] for k, v in sorted(self.faults.items())],
            "routes": len({r for r, _ in self.answers}),
            "never taken": sorted({r for r, _ in self.answers} - reached),
        }  # fmt: skip


@contextmanager
def shop_with_accounts() -> Iterator[Shop]:
    """The invented sample workshop in a new store, with three accounts."""
    from tests.web_cases import shop_in

    with tempfile.TemporaryDirectory() as folder, shop_in(Path(folder)) as shop:
        for name, pin in PINS.items():
            accounts.open_account(shop, name, pin, ROLES[name], Actor("fuzz"))
        yield shop


def programs(shop: Shop) -> list[dict[str, str]]:
    """Headers of a person without accounts, and of each one signed in on the network."""
    from tests.web_cases import client_of

    token = client_of(shop, OPEN).get("/api/v1/token").json()["token"]
    found = [{"x-underset-token": str(token), "x-underset-person": "jorun"}]
    for name, pin in PINS.items():
        program = client_of(shop, LAN)
        program.headers["x-underset-token"] = program.get("/api/v1/token").json()["token"]
        told = program.post("/api/v1/session", json={"name": name, "secret": pin}).json()
        bearer = {"authorization": f"Bearer {told['session']}", "x-underset-token": told["token"]}
        found.append(bearer)
    return found


def sound(shop: Shop, before: int) -> int:
    """Walk the book: its chain holds and it is no shorter; gives its length."""
    chain = bookkeeping.chain(shop)
    assert chain.whole, chain
    assert chain.events >= before, f"{chain.events} events, {before} before"
    kept = shop.workshop()
    assert {"harbour-hatch", "parcel-van"} <= set(kept.vehicles), "a vehicle was lost"
    return chain.events


# --- the JSON API ---------------------------------------------------------------------------------


def api(seconds: float) -> dict[str, Any]:
    """The whole JSON API under generated requests, new seeds until time is used up."""
    from schemathesis.openapi import from_asgi

    from tests.web_cases import app_of

    began, told, start = time.monotonic(), Told(), 10_000
    with shop_with_accounts() as shop:
        apps = [app_of(shop, OPEN), app_of(shop, LAN)]
        host = {"host": "testserver"}
        schemas = [from_asgi("/api/openapi.json", app, headers=host) for app in apps]
        operations = [[one.ok() for one in s.get_all_operations()] for s in schemas]
        events, people = 0, programs(shop)
        while time.monotonic() - began < seconds and len(told.faults) < MOST_FOUND:
            person = start % len(people)
            headers = {**host, **people[person]}
            one_seed(told, operations[person > 0], headers, start, runs.open_runs(shop))
            events = sound(shop, events)
            start += 1
            if start % 20 == 0:
                people = programs(shop)  # a request may have signed one out
    return told.row("api", time.monotonic() - began)


def one_seed(
    told: Told, operations: list[Any], headers: dict[str, str], start: int, running: Any
) -> None:
    """Forty requests from one seed, fitting the schema or breaking it."""
    from hypothesis import HealthCheck, given, seed, settings
    from hypothesis import strategies as st
    from schemathesis import GenerationMode

    from tests.web.test_api_schema import CHECKS, _with_names

    open_now = [run.id for run in running]
    mode = (GenerationMode.POSITIVE, GenerationMode.NEGATIVE)[start // 4 % 2]

    @seed(start)
    @settings(
        max_examples=40, database=None, deadline=None, suppress_health_check=list(HealthCheck)
    )
    @given(st.data())
    def hold(data: st.DataObject) -> None:
        operation = data.draw(st.sampled_from(operations))
        case = data.draw(operation.as_strategy(generation_mode=mode))
        _with_names(case, data)
        _with_content(case, data, open_now)
        began = time.process_time()
        response = case.call(headers=headers)
        told.inputs += 1
        told.refused += response.status_code >= 400
        told.slowest = max(told.slowest, time.process_time() - began)
        told.answers[f"{operation.method.upper()} {operation.path}", response.status_code] += 1
        case.validate_response(response, checks=CHECKS)

    try:
        hold()
    except BaseException as error:
        if isinstance(error, KeyboardInterrupt | SystemExit):
            raise
        told.faults.setdefault(f"{type(error).__name__}: {error}"[:500], f"seed {start}")


def _with_content(case: Any, data: Any, open_now: list[str]) -> None:
    """Records, events and runs as they are on file, with something changed, for made-up ones."""
    from hypothesis import strategies as st

    body, path = case.body, case.path_parameters or {}
    if not isinstance(body, dict) or not data.draw(st.booleans()):
        return
    rng = random.Random(data.draw(st.integers(0, 2**32)))
    if "record" in body:
        record = rng.choice(_records().get(path.get("kind", ""), ("{}",)))
        body["record"] = _sent(rng, record)
        body["version"] = rng.choice((0, 1, 1, 2))
    if "said" in body:
        body["kind"], said = rng.choice(_events())
        body["said"] = _sent(rng, said)
    if {"vehicle", "bay", "key"} <= set(body):
        body |= {"vehicle": "harbour-hatch", "bay": "south", "job": rng.choice((None, "x"))}
    if path.get("name") and open_now:
        path["name"] = rng.choice(open_now)


def _sent(rng: random.Random, text: str) -> Any:
    """A JSON value, mostly with something changed; a client sends no endless figures."""
    while True:
        value = json.loads(json_changed(rng, text) if rng.random() < 0.7 else text)
        try:
            json.dumps(value, allow_nan=False)
        except ValueError:
            continue
        return value


@cache
def _records() -> dict[str, tuple[str, ...]]:
    """Records of each kind as JSON texts."""
    from underset.records import json_text, read_workshop
    from underset.store import body_of

    shop = read_workshop(Path(__file__).resolve().parents[1] / "examples" / "quayside")
    tables = {"vehicle": shop.vehicles, "bay": shop.bays, "adapter": shop.adapters,
              "job": shop.jobs}  # fmt: skip
    found = {k: tuple(json_text(r) for r in list(t.values())[:3]) for k, t in tables.items()}
    single = {"workshop": shop.about, "policy": shop.policy}
    return {**found, **{k: (json.dumps(body_of(r)),) for k, r in single.items()}}


@cache
def _events() -> tuple[tuple[str, str], ...]:
    """One event of each kind: its kind and what it says as JSON text."""
    from tests.store_cases import PAYLOADS

    return tuple((kind, p.model_dump_json()) for kind, p in PAYLOADS.items())


# --- the pages ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Route:
    """One page: how it is asked, its path with gaps, and the names of its fields."""

    method: str
    path: str
    query: tuple[str, ...]
    body: tuple[str, ...]

    @property
    def name(self) -> str:
        """Method and path."""
        return f"{self.method} {self.path}"


@cache
def routes() -> tuple[Route, ...]:
    """Every route of the pages, with the fields that its function declares."""
    from underset.web.pages import ROUTERS

    found: list[Route] = []
    for router in ROUTERS:
        for route in router.routes:
            asked: Any = route
            query, body = _fields(asked.dependant)
            found += [Route(m, asked.path, query, body) for m in sorted(asked.methods)]
    return tuple(found)


def _fields(dependant: Any) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Names of the query's and the form's fields, those of its helpers too."""
    query = [p.alias for p in dependant.query_params]
    body = [p.alias for p in dependant.body_params]
    for inner in dependant.dependencies:
        more = _fields(inner)
        query, body = [*query, *more[0]], [*body, *more[1]]
    return tuple(query), tuple(body)


# What a field of this name may soundly hold, so that forms get past their first check.
SOUND: dict[str, tuple[str, ...]] = {
    "vehicle": ("harbour-hatch", "parcel-van", "lock-runabout"), "bay": ("south", "north", "yard"),
    "adapter": ("screw-pad-short", "pinch-block"), "job": ("hatch-engine-out", ""),
    "id": ("jorun", "tavi", "harbour-hatch", "hatch-engine-out", "new-one"),
    "person": ("jorun", "tavi", ""), "kind": ("vehicle", "lift", "adapter", "pdf", "svg", "html"),
    "form": ("pdf", "html"), "heading": ("nose-in", "tail-in"), "points": ("", "sills"),
    "spot": ("0.4", "1,2", "-0.3"), "sideways": ("0", "0.01"), "yaw": ("0", "0.5"),
    "on": ("2026-11-20",), "until": ("2027-11-20", ""), "by": ("Sunniva",), "day": ("2026-11-20",),
    "passed": ("yes", "no"), "why": ("periodic", "after repair"), "right": ("yes", "no"),
    "stops_use": ("yes", "no"), "seen": ("4", "8"), "failed": ("0", "1"), "count": ("1", "2"),
    "where": ("rack 1", ""), "text": ("oil at the column",), "reason": ("bent",),
    "how": ("seal replaced",), "defect": ("d-1",), "note": ("", "ok"), "version": ("1", "2", "0"),
    "roles": ("technician", "lead"), "secret": ("748105", "834512"), "name": ("Jorun", "run-1"),
    "lift_kind": ("long-arm two-post", "two-post"), "active": ("yes",), "language": ("en", "de"),
    "units": ("metric", "inch"), "theme": ("auto", "dark"), "device": ("tablet-2",),
    "require_daily_check": ("no",), "require_authorisation": ("no",), "to": ("/", "//evil"),
    "state": ("ok", "out"), "inspected": ("2026-10-01", ""), "point": ("touch", "intake"),
    "place": ("LF tyre", "RF tyre"), "read": ("0.7", "1400"), "number": ("1", "5"),
    "budget": ("900", ""), "share": ("90", ""), "replace": ("north", ""), "stack": ("0",),
    "edit": ("harbour-hatch", ""), "copy": ("parcel-van", ""), "draft": ("",), "kept": ("1",),
    "subject": ("bay/north", ""), "after": ("",), "part": ("",), "back": ("/parked",),
}  # fmt: skip
SLOW_ROUTES = ("GET /coverage", "GET /day", "GET /buying", "GET /lift-choice")


def pages(seconds: float) -> dict[str, Any]:
    """Every page and form until time is used up; the seed of each request is its number."""
    from tests.web_cases import client_of

    began, told = time.monotonic(), Told()
    with shop_with_accounts() as shop:
        events, number, people = 0, 0, programs(shop)
        while time.monotonic() - began < seconds and len(told.faults) < MOST_FOUND:
            rng = random.Random(number)
            person = rng.randrange(len(people))
            client = client_of(shop, LAN if person else OPEN)
            client.headers.update(people[person])
            one_page(told, client, rng, number)
            number += 1
            if number % CHECKED_EVERY == 0:
                events, people = sound(shop, events), programs(shop)
    return told.row("pages", time.monotonic() - began)


def one_page(told: Told, client: Any, rng: random.Random, number: int) -> None:
    """One request to one page; what breaks the rules is noted with its number."""
    route = rng.choice(routes())
    if route.name in SLOW_ROUTES and rng.random() < 0.8:
        return
    asked = request(route, rng)
    before = time.process_time()
    try:
        answer = client.request(**asked)
    except Exception as error:  # noqa: BLE001
        import traceback

        frame = traceback.extract_tb(error.__traceback__)[-1]
        place = f"{Path(frame.filename).name}:{frame.lineno}"
        what = f"{route.name}: {type(error).__name__} at {place}"
        told.faults.setdefault(what, f"request {number}, {str(error)[:80]}")
        return
    told.inputs += 1
    told.refused += answer.status_code >= 400
    told.slowest = max(told.slowest, time.process_time() - before)
    told.answers[route.name, answer.status_code] += 1
    for wrong in faults_of(answer):
        told.faults.setdefault(f"{route.name}: {wrong}", f"request {number}")


def faults_of(answer: Any) -> Iterator[str]:
    """What is wrong with an answer."""
    if answer.status_code not in FINE:
        yield f"answer {answer.status_code}"
    kind = answer.headers.get("content-type", "")
    if kind.startswith("text/html"):
        if "Traceback (most recent" in answer.text or ".py&#34;, line" in answer.text:
            yield "a trace in the page"
        if "<script>1</script>" in answer.text:
            yield "a script that was sent stands in the page"
    to = answer.headers.get("location", "/")
    if not to.startswith("/") or to.startswith("//"):
        yield f"leads away to {to}"


def request(route: Route, rng: random.Random) -> dict[str, Any]:
    """A request as httpx takes it: path, query and form filled soundly or oddly; perhaps a file."""
    from urllib.parse import quote

    path = route.path
    while "{" in path:
        name = path[path.index("{") + 1 : path.index("}")]
        text = _filled(rng, name).encode("utf-8", "replace")
        path = path.replace("{" + name + "}", quote(text, safe="") or "x", 1)
    query = [
        (n, _filled(rng, n).encode("utf-8", "replace")) for n in route.query if rng.random() < 0.8
    ]
    asked: dict[str, Any] = {"method": route.method, "url": path, "params": _safe(query)}
    if route.method == "POST":
        form = {**_form(route, rng), **_typed(route, rng)}
        asked["data"] = {n: _sendable(v) for n, v in form.items()}
        if route.path == "/import":
            asked["files"] = {"file": upload(rng, str(form.get("kind", "vehicle")))}
    if rng.random() < 0.02:
        asked.pop("data", None)
        asked["content"] = rng.randbytes(60)
        asked["headers"] = {"content-type": rng.choice((
            "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "text/plain",
            "multipart/form-data", "application/json",
        ))}  # fmt: skip
    return asked


def _safe(query: list[tuple[str, bytes]]) -> list[tuple[str, str]]:
    return [(n, v.decode()) for n, v in query]


def _sendable(value: Any) -> Any:
    """What a client can encode."""
    if isinstance(value, list):
        return [_sendable(v) for v in value]
    return str(value).encode("utf-8", "replace")


def _filled(rng: random.Random, name: str) -> str:
    if name == "key":
        return rng.choice(("key-1234", f"key-{rng.getrandbits(40):x}", *ODD_TEXTS[:3]))
    if rng.random() < 0.75 and name in SOUND:
        return rng.choice(SOUND[name])
    return rng.choice(ODD_TEXTS)


def _form(route: Route, rng: random.Random) -> dict[str, Any]:
    """The declared fields; a list's are sent as several."""
    form: dict[str, Any] = {}
    for name in route.body:
        if rng.random() < 0.93:
            listed = name == "roles" or route.path.endswith("/lots")
            many = rng.choice((1, 1, 2, 3)) if listed and name != "version" else 0
            form[name] = [_filled(rng, name) for _ in range(many)] if many else _filled(rng, name)
    return form


def _typed(route: Route, rng: random.Random) -> dict[str, Any]:
    """Fields that a page reads as they come: the vehicle form, marks on a picture, daily checks."""
    made: dict[str, Callable[[], dict[str, str]]] = {
        "/vehicles/trace": lambda: _marks(rng),
        "/import": lambda: {"kind": rng.choice(("vehicle", "adapter", "lift", "x"))},
        "/import/take": lambda: {"key": _filled(rng, "key")},
    }
    if route.path in made:
        return made[route.path]()
    if route.path.startswith("/vehicles/"):
        return _entry(rng)
    if route.path.endswith("/check"):
        return _check(rng)
    return {}


def _check(rng: random.Random) -> dict[str, str]:
    from underset.app import DAILY_ITEMS

    told = ("in order", "in order", "in order", "not in order", "not there", "odd")
    said = {f"item-{item}": rng.choice(told) for item in DAILY_ITEMS}
    return {**said, "key": _filled(rng, "key"), "note": _filled(rng, "note"),
            "on": _filled(rng, "on"), "fit": rng.choice(("yes", "no", ""))}  # fmt: skip


def _marks(rng: random.Random) -> dict[str, str]:
    from benchmarks.fuzz import MARKED

    text = changed(rng, MARKED).decode("utf-8", "replace")
    sent = dict(line.split("=", 1) for line in text.split("\n") if "=" in line)
    return {**sent, "vehicle": _filled(rng, "vehicle")}


@cache
def _on_file() -> dict[str, str]:
    """The vehicle form as it stands over a record."""
    from tests.web_cases import shop_in
    from underset.app import entry

    with tempfile.TemporaryDirectory() as folder, shop_in(Path(folder)) as shop:
        form = entry.edit_form(shop, "harbour-hatch", "Jorun", TODAY)
        return dict(form.fields)


def _entry(rng: random.Random) -> dict[str, str]:
    """The whole form with a few fields odd, some gone, and what the buttons send."""
    form = dict(_on_file())
    for _ in range(rng.choice((0, 1, 1, 2, 4))):
        form[rng.choice(sorted(form))] = rng.choice(ODD_TEXTS)
    for _ in range(rng.choice((0, 0, 1, 3))):
        form.pop(rng.choice(sorted(form)), None)
    if rng.random() < 0.2:
        column = rng.choice(("outline", "kind", "²", "label"))
        form[f"{rng.choice(('zones', 'doors', 'parts'))}-{rng.choice('0²9x')}-{column}"] = "1"
    form |= {
        "id": rng.choice(("harbour-hatch", "fuzzed", f"new-{rng.getrandbits(20):x}", "A B")),
        "base_mode": rng.choice(("edit", "edit", "new", "copy", "odd")),
        "base_id": rng.choice(("harbour-hatch", "harbour-hatch", "parcel-van", "", "nothing-here")),
        "base_version": rng.choice(("1", "1", "2", "0", "²", "-1", "9" * 30)),
        "over": rng.choice(("", "", "2", "99", "²")),
        "draft": rng.choice(("", "", "", "draft-1", "x y")),
        "draft_version": rng.choice(("0", "1", "²", "")),
    }
    do = ("", "add", "copy-0", "drop-0", "remove-1", "mirror", "²", "copy-²", "drop-99")
    return {**form, "set_do": rng.choice(do)}


def upload(rng: random.Random, kind: str) -> tuple[str, bytes, str]:
    """A table to take in: a sound one, or one with something changed, under some name."""
    from benchmarks.fuzz import TABLE_KINDS, _csv, _with_sheet, _workbook

    content = _csv(kind if kind in TABLE_KINDS else "vehicle")
    name = rng.choice(("sent.csv",) * 6 + ("sent.xlsx", "../x.csv", ".csv", "x.exe", "a" * 300))
    if rng.random() < 0.3:
        name, content = "sent.xlsx", rng.choice((_workbook(), _with_sheet(b"<x/>")))
    if rng.random() < 0.6:
        content = changed(rng, content, 200_000)
    return name, content, rng.choice(("text/csv", "application/octet-stream"))


SERVERS: dict[str, Callable[[float], dict[str, Any]]] = {"api": api, "pages": pages}
