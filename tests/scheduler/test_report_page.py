"""The page of a day: one file, all in it, text as text, the same from its plan."""

import re
from collections.abc import Callable
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest

from scheduler.files.plan_file import read_plan, write_plan
from scheduler.plan import Plan
from scheduler.report.cautions import CAUTIONS
from scheduler.report.page import page_text, write_page
from scheduler.report.page.view import plan_id
from scheduler.report.words import clock_of
from tests.drawn_plans import HOSTILE, drawn_plan, hostile_plan
from tests.sample_day import PLAN

SIZE_LIMITS_KB = {60: 300, 200: 1000}
SCRUBBED = (
    (re.compile(r"<style>.*?</style>", re.DOTALL), "<style></style>"),
    (re.compile(r"<script>.*?</script>", re.DOTALL), "<script></script>"),
    (re.compile(r"sha256-[\w+/=]+"), "sha256-<digest>"),
    (re.compile(r"[Pp]lan [0-9a-f]{8}\b"), "plan <id>"),
    (re.compile(r"(Plan id</dt><dd>)[0-9a-f]{8}"), r"\1<id>"),
)


class Reader(HTMLParser):
    """Collects tags, attributes and text, without those of style and script."""

    def __init__(self, text: str) -> None:
        """Read a whole page."""
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.words: list[str] = []
        self._silent = False
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag."""
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        self._silent = tag in ("script", "style")

    def handle_endtag(self, tag: str) -> None:
        """End of style or script."""
        if tag in ("script", "style"):
            self._silent = False

    def handle_data(self, data: str) -> None:
        """Note text that people see."""
        if not self._silent:
            self.words.append(data)

    @property
    def text(self) -> str:
        """Everything that people can read."""
        return " ".join("".join(self.words).split())


@pytest.fixture(scope="module")
def page() -> Reader:
    """Page of a made-up day that has begun."""
    return Reader(page_text(drawn_plan(24, 700)))


def test_the_page_is_one_file(page: Reader) -> None:
    """No address in it leads anywhere but into the page itself."""
    targets = [value for name, value in page.attributes if name in ("src", "href")]
    assert targets
    assert all(value.startswith("#") for value in targets)
    assert {"link", "img", "iframe", "base", "form"} & set(page.tags) <= {"form"}
    text = page_text(drawn_plan(24, 700))
    for forbidden in ("http:", "https:", "url(//", "@import", "url(data"):
        assert forbidden not in text


def test_every_part_is_there(page: Reader) -> None:
    """Headings of all parts, in the order in which people need them."""
    headings = (
        "Needs attention",
        "Cautions",
        "Actions",
        "Turnarounds",
        "Fans",
        "Departures",
        "Load against time",
        "Inspection list",
        "What this rests on",
    )
    places = [page.text.find(heading) for heading in headings]
    assert -1 not in places
    assert places == sorted(places)


def test_all_cautions_are_in_full(page: Reader) -> None:
    """Every caution stands on the page as it is worded everywhere."""
    for caution in CAUTIONS:
        assert " ".join(caution.split()) in page.text


def test_every_flight_has_a_sentence_for_the_gate(page: Reader) -> None:
    """On time, late or held: each says where and when."""
    for row in drawn_plan(24, 700).turnarounds:
        start = rf"{row.id} \(stand {row.stand}\)"
        assert re.search(rf"{start} (leaves|left|is held)", page.text)


def test_local_time_stands_beside_utc(page: Reader) -> None:
    """Summer in Madrid is two hours ahead."""
    assert "11:40 UTC, 13:40 local" in page.text


def test_what_it_rests_on_is_named(page: Reader) -> None:
    """Seed, samples, confidence, gap, solver, release, sources and assumptions."""
    for words in ("seed 1", "512 samples", "99 % confidence", "Gap 8.3 %"):
        assert words in page.text
    for words in ("CP-SAT 9.15", "heatslot 0", "weather: the last report"):
        assert words in page.text
    for words in ("touchdown point: 300 to 750 m", "all 24 flights"):
        assert words in page.text


def test_hostile_names_are_text(tmp_path: Path) -> None:
    """No name becomes a tag, an attribute or a template; each can be read."""
    reader = Reader(page_text(hostile_plan()))
    assert reader.tags.count("script") == 1
    for name in HOSTILE:
        assert " ".join(name.split()) in reader.text
    assert not [name for name, _ in reader.attributes if name.startswith("on")]
    assert "49" not in re.findall(r"\{\{.*?\}\}", reader.text)


def test_only_the_page_s_own_script_may_run() -> None:
    """The policy names the digest of the script as it stands in the page."""
    from base64 import b64encode
    from hashlib import sha256

    text = page_text(drawn_plan(3))
    (script,) = re.findall(r"<script>(.*?)</script>", text, re.DOTALL)
    digest = b64encode(sha256(script.encode()).digest()).decode()
    assert f"script-src 'sha256-{digest}'" in text
    assert "default-src 'none'" in text


@pytest.mark.parametrize(
    "plan", [drawn_plan(10, 700), drawn_plan(10), hostile_plan(), PLAN]
)
def test_the_page_comes_from_the_plan_file_alone(plan: Plan, tmp_path: Path) -> None:
    """Drawn from the file that was written it is the same, letter by letter."""
    path = tmp_path / "plan.json"
    write_plan(plan, clock_of(plan), path)
    assert page_text(read_plan(path)) == page_text(plan)


def test_a_plan_without_what_is_only_drawn_is_drawn_all_the_same() -> None:
    """A file of an earlier release has no fans, limits, zone or landing times."""
    bare = replace(
        drawn_plan(8, 700),
        fans=(),
        time_zone="Nowhere/Unknown",
        program="",
        turnarounds=tuple(
            replace(
                row,
                limits=(),
                cooled=(),
                landing_minute=None,
                expected_ready_minute=None,
                indication_minute=None,
            )
            for row in drawn_plan(8, 700).turnarounds
        ),
    )
    reader = Reader(page_text(bare))
    assert "cart 1" in reader.text


def test_rows_without_heat_say_so() -> None:
    """A turnaround whose brakes were not computed is named and has no curves."""
    plan = drawn_plan(1)
    row = replace(plan.turnarounds[0], heat=None, cooled=())
    reader = Reader(page_text(replace(plan, turnarounds=(row,))))
    assert "its brakes were not computed" in reader.text


def test_an_empty_day_has_a_page() -> None:
    """No turnaround, no action: still a page with its cautions."""
    reader = Reader(page_text(replace(drawn_plan(1), turnarounds=(), actions=())))
    assert "Nobody has anything to do" in reader.text
    assert " ".join(CAUTIONS[0].split()) in reader.text


def test_what_a_check_found_stands_first() -> None:
    """Violations are the first thing that needs attention."""
    text = Reader(page_text(drawn_plan(4), ("LB101: too early",))).text
    start = text.index("Needs attention")
    assert text[start:].startswith("Needs attention check failed LB101: too early")


def test_the_plan_id_names_what_was_decided() -> None:
    """It changes with the plan, not with the seconds that the search took."""
    plan = drawn_plan(5)
    slower = replace(plan, proof=replace(plan.proof, seconds=9.0))
    assert plan_id(slower) == plan_id(plan)
    assert plan_id(replace(plan, seed=2)) != plan_id(plan)


@pytest.mark.parametrize("count", SIZE_LIMITS_KB)
def test_pages_stay_small(count: int) -> None:
    """A busy day fits into a message, a very busy one into a megabyte."""
    size_kb = len(page_text(drawn_plan(count, 700)).encode()) / 1000
    assert size_kb <= SIZE_LIMITS_KB[count]


def test_no_wheel_is_called_safe(page: Reader) -> None:
    """The page says what figures pass, never that anyone may approach."""
    assert not re.search(r"safe to|may approach|can be approached", page.text, re.I)


def test_the_page_is_as_stored(golden: Callable[[str, str], None]) -> None:
    """Letter by letter, style and script aside; `--update-golden` stores it anew."""
    text = page_text(drawn_plan(8, 700))
    for pattern, mark in SCRUBBED:
        text = pattern.sub(mark, text)
    golden("report.html", text)


def test_a_page_is_there_as_a_whole(tmp_path: Path) -> None:
    """The file replaces an older one in one step and leaves nothing beside it."""
    path = tmp_path / "report.html"
    path.write_text("old", encoding="utf-8")
    write_page(drawn_plan(2), path)
    assert path.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert list(tmp_path.iterdir()) == [path]
