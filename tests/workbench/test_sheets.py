"""Sheets come in through the browser: names made safe, twice is once, whole sheets, cancelled, the page closed."""

from __future__ import annotations

import io
import time
from dataclasses import replace
from pathlib import Path, PurePosixPath

import httpx
import pytest

from halfinch.api import open_catalogue
from halfinch.catalogue import store
from halfinch.workbench.incoming import free_path, safe_path, save_upload
from halfinch.workbench.jobs import CANCELLED, DONE, GATHERING, Job, Jobs
from halfinch.workbench.settings import Settings

from .conftest import DEMO, Look, Server, keep_picture, running

SHEET = b"Size,8,10,12\nInseam,30,30,30\nFront rise,9 1/2,9 3/4,10\nThigh,22,23,24\n"
OTHER = SHEET.replace(b"9 1/2", b"9 1/4")


@pytest.mark.parametrize(
    ("name", "path"),
    [
        pytest.param("larkrise/wide.pdf", "larkrise/wide.pdf", id="a-folder-is-kept"),
        pytest.param("../../etc/passwd", "etc/passwd", id="up"),
        pytest.param("/etc/passwd", "etc/passwd", id="from-the-root"),
        pytest.param("C:\\Users\\ana\\wide.xlsx", "C_/Users/ana/wide.xlsx", id="another-system"),
        pytest.param("wide\x00.pdf", "wide_.pdf", id="a-zero"),
        pytest.param(".hidden.csv", "hidden.csv", id="hidden"),
        pytest.param("...", "sheet", id="nothing-left"),
        pytest.param("x" * 300 + ".pdf", "x" * 146 + ".pdf", id="long"),
        pytest.param("裤" * 100 + ".pdf", "裤" * 48 + ".pdf", id="long-in-bytes"),
    ],
)
def test_names_are_made_safe(name: str, path: str) -> None:
    assert safe_path(name) == PurePosixPath(path)


def test_a_name_that_means_another_file_gets_a_number() -> None:
    taken = {"chart.pdf": "a", "chart (2).pdf": "b"}
    assert free_path(PurePosixPath("chart.pdf"), "a", taken) == PurePosixPath("chart.pdf")
    assert free_path(PurePosixPath("chart.pdf"), "b", taken) == PurePosixPath("chart (2).pdf")
    assert free_path(PurePosixPath("chart.pdf"), "c", taken) == PurePosixPath("chart (3).pdf")


def test_what_is_saved_stays_below_its_folder(tmp_path: Path) -> None:
    (folder := tmp_path / "incoming").mkdir()
    for name in ("../../../x.csv", "/x.csv", "a/../../x.csv"):
        saved = save_upload(folder, name, io.BytesIO(name.encode()), {})
        assert saved.resolve().is_relative_to(folder.resolve())
    assert sorted(path.name for path in tmp_path.iterdir()) == ["incoming"]


def upload(server: Server, *files: tuple[str, bytes], **form: str) -> Job:
    """Sends files as a page would, waits until they are read."""
    sent = [("files", (name, data, "application/octet-stream")) for name, data in files]
    answer = server.post("/sheets/upload", files=sent, data=form, headers={"accept": "application/json"})
    assert answer.status_code == 200, answer.text
    job = server.desk.jobs.get(answer.json()["job"])
    assert job is not None
    wait_for(job)
    return job


def wait_for(job: Job) -> None:
    until = time.monotonic() + 60
    while not job.over:
        assert time.monotonic() < until
        time.sleep(0.02)


def test_sheets_come_in_and_twice_is_once(server: Server) -> None:
    job = upload(server, ("larkrise/wide.csv", SHEET), ("nothing.csv", b"a,b\n1,2\n"))
    assert job.state == DONE
    assert {(line.sheet, line.outcome) for line in job.lines} == {
        ("larkrise/wide.csv", "read"), ("nothing.csv", "nothing"),
    }  # fmt: skip
    assert job.folder is not None
    assert not job.folder.exists()
    page = server.client.get("/sheets").text
    assert "larkrise/wide.csv" in page
    assert "nothing of ours" in page
    again = upload(server, ("larkrise/wide.csv", SHEET))
    assert [line.outcome for line in again.lines] == ["known"]
    assert "known already" in server.client.get(f"/sheets/jobs/{again.handle}").text
    (sources,) = store.read_frames(server.settings.catalogue, "sources")
    assert sorted(sources["source"]) == ["dropped/larkrise/wide.csv", "dropped/nothing.csv"]


def test_two_merchants_may_send_sheets_of_one_name(server: Server) -> None:
    upload(server, ("chart.csv", SHEET))
    upload(server, ("chart.csv", OTHER))
    (sheets,) = store.read_frames(server.settings.catalogue, "current_sheets")
    assert sorted(sheets["sheet"]) == ["chart (2).csv", "chart.csv"]
    upload(server, ("chart.csv", SHEET + b"Hip,38,39,40\n"), newer="yes")
    (sheets,) = store.read_frames(server.settings.catalogue, "current_sheets")
    assert sorted(sheets["sheet"]) == ["chart (2).csv", "chart.csv"]


def test_the_merchant_that_is_said_counts(server: Server) -> None:
    upload(server, ("chart.csv", SHEET), merchant="Hollin & Thrupp")
    assert set(open_catalogue(server.settings.catalogue).figures()["merchant"]) == {"Hollin & Thrupp"}


def test_many_files_come_in_several_requests(server: Server) -> None:
    sent = [("files", ("a.csv", SHEET))]
    headers = {"accept": "application/json"}
    first = server.post("/sheets/upload", files=sent, data={"more": "yes"}, headers=headers).json()
    assert first["state"] == "gathering"
    job = upload(server, ("b.csv", OTHER), job=first["job"])
    assert {line.sheet for line in job.lines} == {"a.csv", "b.csv"}
    late = server.post("/sheets/upload", files=sent, data={"job": first["job"]}, headers=headers)
    assert late.status_code == 404


def test_uploads_end_where_the_settings_say(settings: Settings) -> None:
    with running(replace(settings, largest_upload=5000)) as server:
        answer = server.post("/sheets/upload", files=[("files", ("a.csv", b"x" * 6000))])
        assert answer.status_code == 413
        assert server.desk.is_empty


def test_a_cancelled_import_leaves_whole_sheets(settings: Settings, tmp_path: Path) -> None:
    for number in range(6):
        (tmp_path / f"{number}.csv").write_bytes(SHEET + b"Hip,3%d,39,40\n" % number)
    jobs = Jobs(settings)
    job = jobs.of_folder(tmp_path, "test")
    read_on = job._watch

    def stop_after_two(name: str, results: object) -> None:
        read_on(name, results)  # type: ignore[arg-type]
        if job.done == 2:
            job.cancel()

    job._watch = stop_after_two  # type: ignore[method-assign, assignment]
    jobs.start(job)
    wait_for(job)
    jobs.stop()
    assert job.state == CANCELLED
    figures = open_catalogue(settings.catalogue).figures()
    assert 2 <= figures["sheet"].nunique() < 6
    assert set(figures.groupby("sheet").size()) == {12}


def test_a_waiting_import_that_is_cancelled_never_begins(settings: Settings, tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_bytes(SHEET)
    jobs = Jobs(settings)
    job = jobs.of_folder(tmp_path, "test")
    job.cancel()
    jobs.start(job)
    wait_for(job)
    jobs.stop()
    assert job.state == CANCELLED
    assert not settings.catalogue.exists()


def test_a_stranger_cannot_ask_for_a_job(server: Server) -> None:
    assert server.client.get("/sheets/jobs/nothing").status_code == 404
    assert server.post("/sheets/jobs/nothing/cancel").status_code == 404


def test_without_scripts_the_form_does_it(server: Server) -> None:
    token = server.token()
    sent = [("csrf", (None, token)), ("files", ("a.csv", SHEET))]
    answer = server.client.post("/sheets/upload", files=sent, headers={"origin": server.url})  # type: ignore[arg-type]
    assert answer.status_code == 303
    assert isinstance(answer, httpx.Response)
    wait_for(server.desk.jobs.latest()[0])


def test_choosing_files_shows_each_as_it_is_read_and_the_page_may_be_closed(settings: Settings, look: Look) -> None:
    with running(replace(settings, jobs=1)) as server:
        choose_files(server, look)


def choose_files(server: Server, look: Look) -> None:
    page = look(server)
    page.goto("/")
    assert page.get_by_role("heading", name="Sheets", exact=True).is_visible()
    keep_picture(page, "sheets-empty")
    files = [str(path) for path in sorted((DEMO / "oddwick-petites").glob("*.html"))]
    page.locator("input[name=files]").set_input_files(files)
    page.wait_for_selector("[data-over=yes]", timeout=60_000)
    assert page.locator(".lines li").count() == 3
    page.wait_for_selector(".pile tbody tr:nth-child(3)")
    keep_picture(page, "sheets-read")
    page.locator("input[name=files]").set_input_files([str(DEMO / "querfelder-hosenwerk" / "weite-hosen.csv")])
    until = time.monotonic() + 20
    while len(server.desk.jobs.latest()) < 2 or server.desk.jobs.latest()[0].state == GATHERING:
        assert time.monotonic() < until
        page.wait_for_timeout(20)
    page.close()
    wait_for(server.desk.jobs.latest()[0])
    assert [line.outcome for line in server.desk.jobs.latest()[0].lines] == ["read"]


def sheet_names(server: Server) -> list[str]:
    (sheets,) = store.read_frames(server.settings.catalogue, "current_sheets")
    return sorted(sheets["sheet"])


def test_a_chosen_folder_of_merchants_names_them(settings: Settings, tmp_path: Path, look: Look) -> None:
    for name, data in (("charts/aldersgate/wide.csv", SHEET), ("charts/inkwell/slim.csv", OTHER)):
        (path := tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    with running(replace(settings, jobs=1)) as server:
        page = look(server)
        page.goto("/sheets")
        page.locator("input[name=folder]").set_input_files(tmp_path / "charts")
        page.wait_for_selector("[data-over=yes]", timeout=60_000)
        assert sheet_names(server) == ["aldersgate/wide.csv", "inkwell/slim.csv"]
        (figures,) = store.read_frames(settings.catalogue, "current_figures")
        assert set(figures["merchant"]) == {"aldersgate", "inkwell"}


DROP = """text => {
    const carried = new DataTransfer();
    carried.items.add(new File([text], "dropped.csv", { type: "text/csv" }));
    document.dispatchEvent(new DragEvent("drop", { dataTransfer: carried, bubbles: true, cancelable: true }));
}"""


def test_dropped_files_come_in_and_the_same_again_is_known(settings: Settings, look: Look) -> None:
    with running(replace(settings, jobs=1)) as server:
        page = look(server, "phone")
        page.goto("/sheets")
        for outcome in ("read", "known already"):
            page.evaluate(DROP, SHEET.decode())
            page.wait_for_selector(f".job .state:text-is('{outcome}')", timeout=60_000)
        assert sheet_names(server) == ["dropped.csv"]


def test_an_import_is_cancelled_from_its_page(settings: Settings, tmp_path: Path, look: Look) -> None:
    files = []
    for number in range(200):
        (path := tmp_path / f"{number}.csv").write_bytes(SHEET + b"Hip,3%d.%d,39,40\n" % (number % 10, number))
        files.append(path)
    with running(replace(settings, jobs=1)) as server:
        page = look(server)
        page.goto("/sheets")
        page.locator("input[name=files]").set_input_files(files)
        page.get_by_role("button", name="Stop").click(timeout=30_000)
        page.wait_for_selector("[data-over=yes]", timeout=60_000)
        (job,) = server.desk.jobs.latest()
        assert job.state == CANCELLED
        assert job.done < 200
        keep_picture(page, "sheets-cancelled")
