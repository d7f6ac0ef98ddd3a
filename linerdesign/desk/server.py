"""The desk's requests: the page, the state of the project, changes, documents."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable
from dataclasses import asdict, dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import FileResponse, HTMLResponse, JSONResponse, Response
from starlette.routing import Route

from linerdesign import __version__
from linerdesign.desk import panels
from linerdesign.desk.forms import forms
from linerdesign.desk.jobs import Jobs
from linerdesign.desk.parts import ROWS, Part, rows_of, text_of
from linerdesign.desk.safety import Guarded, TooLargeError
from linerdesign.desk.session import Desk
from linerdesign.desk.submittals import transcribed
from linerdesign.desk.values import in_field
from linerdesign.documents.page import resource
from linerdesign.methods.result import PipeResult
from linerdesign.project.faults import InputFaults, fault
from linerdesign.words import sentence

Answer = dict[str, Any]
MOST_EDITS = 500
STATIC = {
    "desk.css": "text/css",
    "desk.js": "text/javascript",
    "state.js": "text/javascript",
    "fields.js": "text/javascript",
    "table.js": "text/javascript",
    "panels.js": "text/javascript",
}


def application(desk: Desk, token: str, port: int) -> tuple[Guarded, Jobs]:
    """The application of a desk, and the jobs to be ended with it."""
    jobs = Jobs()
    served = _Served(desk, jobs)
    routes = [
        Route("/", served.page),
        Route("/page.css", served.page_style),
        *(Route(f"/{name}", served.static) for name in STATIC),
        Route("/forms", _json(served.forms)),
        Route("/state", _json(served.state)),
        Route("/edit", _json(served.edit), methods=["POST"]),
        Route("/do", _json(served.do), methods=["POST"]),
        Route("/sheet/{row}", _json(served.sheet)),
        Route("/review/{row}", _json(served.review)),
        Route("/compare", _json(served.compare), methods=["POST"]),
        Route("/submittal", _json(served.submittal), methods=["POST"]),
        Route("/jobs", _json(served.start), methods=["POST"]),
        Route("/jobs/{job}", _json(served.job), methods=["GET", "DELETE"]),
        Route("/jobs/{job}/file", served.file),
    ]
    return Guarded(Starlette(routes=routes), token, port), jobs


def _json(handler: Callable[[Request, Any], Answer]) -> Callable[[Request], Any]:
    """A handler of JSON, run beside other requests; faults are said in words."""

    async def handled(request: Request) -> Response:
        try:
            raw = await request.body()
            upload = request.url.path.endswith("/submittal")
            body = raw if upload else json.loads(raw) if raw else {}
            return JSONResponse(await run_in_threadpool(handler, request, body))
        except InputFaults as found:
            codes = [each.code for each in found.faults]
            said = {"faults": list(map(str, found.faults[:50])), "codes": codes[:50]}
            return JSONResponse(said, status_code=422)
        except TooLargeError:
            return JSONResponse({"faults": [sentence("desk.too_large")]}, status_code=413)
        except (KeyError, TypeError, ValueError, AttributeError, RecursionError):
            return JSONResponse(
                {"faults": [sentence("desk.not_understood_request")]}, status_code=400
            )

    return handled


@dataclass(frozen=True)
class _Shown:
    """What the page shows of a row, in which revision that changed, and what it was made from."""

    revision: int
    data: Answer
    part: Part
    result: PipeResult | None
    first: int

    def rests_on(self, part: Part, result: PipeResult | None, first: int) -> bool:
        """Whether it was made from the same row and result."""
        return result is self.result and (part, first) == (self.part, self.first)


class _Served:
    """The handlers, each on the one desk."""

    def __init__(self, desk: Desk, jobs: Jobs) -> None:
        self._desk = desk
        self._jobs = jobs
        self._shown: dict[str, _Shown] = {}

    async def page(self, request: Request) -> Response:
        """The page itself, without any of the project's texts in it."""
        from jinja2 import Environment, PackageLoader

        environment = Environment(loader=PackageLoader("linerdesign.desk"), autoescape=True)
        template = environment.get_template("desk.html")
        from linerdesign.words.desk import SENTENCES

        made = template.render(words=SENTENCES, ranked_by=panels.RANKED_BY, version=__version__)
        return HTMLResponse(made)

    async def page_style(self, request: Request) -> Response:
        """The style that sheets have on the page too."""
        return Response(resource("page.css"), media_type="text/css")

    async def static(self, request: Request) -> Response:
        """One of the desk's own files."""
        name = request.url.path.rpartition("/")[2]
        text = (files("linerdesign.desk") / "static" / name).read_text(encoding="utf-8")
        return Response(text, media_type=STATIC[name])

    def forms(self, request: Request, body: Any) -> Answer:
        """The fields of every table."""
        return forms(self._desk.results.system)

    def state(self, request: Request, body: Any) -> Answer:
        """What has changed since a revision; everything for revision 0."""
        self._desk.look()
        return self._state(int(request.query_params.get("since", "0")))

    def _state(self, since: int) -> Answer:
        desk = self._desk
        with desk.lock:
            results, parts = desk.results, desk.parts
            self._mark([part for part in parts if part.root in ROWS])
            single = {
                p.root: in_field(p.tables.get(p.root, {})) for p in parts if p.root not in ROWS
            }
            return {
                "revision": desk.revision,
                "session": desk.session,
                "name": desk.name,
                "folder": desk.folder.name,
                "files": desk.files() if since == 0 else None,
                "unsaved": desk.unsaved,
                "units": results.system,
                "order": {root: [part.id for part in rows_of(parts, root)] for root in ROWS},
                "rows": {i: each.data for i, each in self._shown.items() if each.revision > since},
                "single": single,
                "faults": [asdict(each) for each in results.faults[:5000]],
                "notices": [asdict(each) for each in desk.notices],
                **desk.can(),
            }

    def _mark(self, rows: list[Part]) -> None:
        """Notes what is shown of each row, and in which revision that last changed."""
        results, before = self._desk.results, self._shown
        self._shown = {}
        for part in rows:
            outcome, first = results.outcomes.get(part.id), results.first.get(part.id, 0)
            result = outcome.result if outcome else None
            shown = before.get(part.id)
            if not (shown and shown.rests_on(part, result, first)):
                row: Answer = {"table": part.root, "values": in_field(part.table)}
                if outcome:
                    row |= {"first": first, "result": panels.row_data(outcome, first)}
                shown = _Shown(self._desk.revision, row, part, result, first)
            self._shown[part.id] = shown

    def edit(self, request: Request, body: Any) -> Answer:
        """Makes edits, and answers with what they changed."""
        edits = [self._found(each) for each in body["edits"][:MOST_EDITS]]
        if len(body["edits"]) > MOST_EDITS:
            raise InputFaults([fault("desk.too_many_edits", "", most=MOST_EDITS)])
        self._desk.apply(edits, str(body.get("step", "")))
        return self._state(int(body["since"]))

    def _found(self, edit: Answer) -> Answer:
        """The edit; a row of an earlier desk is found by its name, where only one has it."""
        row, name = edit.get("row"), edit.get("name")
        parts = self._desk.parts
        if name is None or any(row in (part.id, part.root) for part in parts):
            return edit
        named = [p for root in ROWS for p in rows_of(parts, root) if p.table.get("name") == name]
        return edit | {"row": named[0].id} if len(named) == 1 else edit

    def do(self, request: Request, body: Any) -> Answer:
        """An action on the whole project, by its name."""
        desk, what = self._desk, body["do"]
        actions: dict[str, Callable[[], None]] = {
            "undo": desk.undo,
            "redo": desk.redo,
            "save": lambda: desk.save(str(body.get("name", ""))),
            "keep_mine": lambda: desk.save(instead=True),
            "take_theirs": desk.take_theirs,
            "open": lambda: desk.open(str(body["name"])),
            "new": lambda: desk.open("", str(body.get("units", "US"))),
            "dismiss": lambda: desk.dismiss(str(body["code"])),
        }
        actions[what]()
        return self._state(0 if what in ("open", "new", "save") else int(body["since"]))

    def sheet(self, request: Request, body: Any) -> Answer:
        """The sheet of one pipe as markup."""
        row = request.path_params["row"]
        with self._desk.lock:
            results, revision = self._desk.results, self._desk.revision
            panels.row_part(self._desk.parts, row)
        markup = panels.sheet(results.outcomes[row], results.first[row])
        return {"revision": revision, "markup": markup}

    def review(self, request: Request, body: Any) -> Answer:
        """The review of one pipe."""
        desk, row = self._desk, request.path_params["row"]
        panels.row_part(desk.parts, row)
        return panels.review_data(desk.parts, desk.results, desk.folder, row)

    def compare(self, request: Request, body: Any) -> Answer:
        """Begins a comparison of all systems."""
        by = str(body["by"])
        if by not in panels.RANKED_BY:
            raise InputFaults([fault("argument", "by", by, known=", ".join(panels.RANKED_BY))])
        return self._jobs.compare(text_of(self._desk.parts), self._desk.folder, by).data

    def submittal(self, request: Request, body: bytes) -> Answer:
        """Takes the stated values of a submitted document into the project."""
        name = Path(request.query_params["name"].replace("\\", "/")).name
        with tempfile.TemporaryDirectory(prefix="linerdesign-desk-") as folder:
            reading = transcribed(self._desk, Path(folder), name, body)
        return {"reading": reading, "state": self._state(0)}

    def start(self, request: Request, body: Any) -> Answer:
        """Begins a document of the saved project; what is not saved yet is saved before."""
        desk = self._desk
        with desk.lock:
            if desk.unsaved or not desk.name:
                desk.save(str(body.get("name", "")))
            path = desk.path_of(desk.name)
        job = self._jobs.start(str(body["document"]), path)
        return {"job": job.data, "state": self._state(int(body["since"]))}

    def job(self, request: Request, body: Any) -> Answer:
        """How far a document is; cancels it on request."""
        number = request.path_params["job"]
        job = self._jobs.cancel(number) if request.method == "DELETE" else self._jobs.get(number)
        return job.data

    async def file(self, request: Request) -> Response:
        """A document that is done."""
        try:
            job = self._jobs.get(request.path_params["job"])
        except InputFaults:
            return Response(status_code=404)
        if job.state != "done":
            return Response(status_code=404)
        return FileResponse(job.file, filename=job.name)
