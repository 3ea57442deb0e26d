"""Reading a workshop folder: whatever is wrong with it is told at once, never a trace."""

from __future__ import annotations

import os
import shutil
import tomllib
from pathlib import Path

import pytest

from tests.record_cases import QUAYSIDE, changed
from underset.errors import InputError, InputErrors, NotFoundError
from underset.records import (
    DEFAULT_POLICY,
    data_text,
    read_about,
    read_adapter,
    read_bay,
    read_job,
    read_policy,
    read_vehicle,
    read_workshop,
    toml_data,
)
from underset.records.reading import GREATEST_FILE

KEPT = ("vehicles/harbour-hatch", "bays/north", "adapters/screw-pad-short", "jobs/hatch-engine-out")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A small workshop out of the sample that a test may spoil."""
    folder = tmp_path / "shop"
    for place in KEPT:
        (folder / place).parent.mkdir(parents=True)
        shutil.copy(QUAYSIDE / f"{place}.toml", folder / f"{place}.toml")
    shutil.copy(QUAYSIDE / "policy.toml", folder)
    (folder / "workshop.toml").write_text('name = "Small"\ninvented = true\nunits = "metric"\n')
    bay = folder / "bays" / "north.toml"
    raw = {**tomllib.loads(bay.read_text("utf-8")), "adapters_approved": ["screw-pad-short"]}
    bay.write_text(data_text(raw), "utf-8")
    return folder


def told(folder: Path) -> tuple[InputError, ...]:
    with pytest.raises(InputErrors) as caught:
        read_workshop(folder)
    return caught.value.errors


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")


# --- what works -----------------------------------------------------------------------------------


def test_reads_every_file_by_its_stem() -> None:
    shop = read_workshop(QUAYSIDE)
    for folder in ("vehicles", "bays", "adapters", "jobs"):
        stems = sorted(p.stem for p in (QUAYSIDE / folder).glob("*.toml"))
        assert list(getattr(shop, folder)) == stems
    assert shop.vehicle("harbour-hatch").sizes.wheelbase.value == 2.6


def test_a_name_not_on_file_lists_those_that_are() -> None:
    with pytest.raises(NotFoundError, match="harbour-hatch") as caught:
        read_workshop(QUAYSIDE).vehicle("harbour-hatc")
    assert "market-suv" in caught.value.known


@pytest.mark.parametrize(
    ("reader", "place"),
    [(read_vehicle, "vehicles/harbour-hatch.toml"), (read_bay, "bays/north.toml"),
     (read_adapter, "adapters/peg-head.toml"), (read_job, "jobs/hatch-engine-out.toml"),
     (read_about, "workshop.toml"), (read_policy, "policy.toml")],
)  # fmt: skip
def test_a_path_and_its_text_read_alike(reader, place: str) -> None:
    path = QUAYSIDE / place
    assert reader(path) == reader(path.read_text("utf-8"))


def test_points_come_out_in_corner_order_whatever_the_order_in_the_file() -> None:
    raw = changed("vehicles/harbour-hatch.toml", {})
    raw["point_sets"][0]["points"].reverse()
    vehicle = read_vehicle(data_text(raw))
    assert [p.corner.value for p in vehicle.point_sets[0].points] == ["LF", "RF", "LR", "RR"]


def test_jobs_and_policy_may_be_left_out(shop: Path) -> None:
    shutil.rmtree(shop / "jobs")
    (shop / "policy.toml").unlink()
    read = read_workshop(shop)
    assert read.jobs == {}
    assert read.policy == DEFAULT_POLICY


def test_windows_line_ends_and_a_byte_order_mark_are_fine(shop: Path) -> None:
    path = shop / "vehicles" / "harbour-hatch.toml"
    before = read_vehicle(path)
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    assert read_vehicle(path) == before


def test_a_path_relative_to_here_and_as_text_works(shop: Path, monkeypatch) -> None:
    monkeypatch.chdir(shop.parent)
    assert read_workshop("shop").about == read_workshop(shop).about


# --- what is refused ------------------------------------------------------------------------------


def test_all_complaints_of_all_files_at_once(shop: Path) -> None:
    edit(shop / "vehicles/harbour-hatch.toml", '"2600 ± 3 mm"', "2600")
    edit(shop / "vehicles/harbour-hatch.toml", 'drive = "front"', 'drive = "both"')
    edit(shop / "bays/north.toml", 'rated = "4000 kg"', 'rated = "4000 mm"')
    edit(shop / "workshop.toml", 'units = "metric"', 'unit = "metric"')
    edit(shop / "policy.toml", "level_pad", "level_pads")
    found = {(e.place, e.field): e for e in told(shop)}
    assert set(found) == {
        ("vehicles/harbour-hatch.toml", "sizes.wheelbase"),
        ("vehicles/harbour-hatch.toml", "drive"),
        ("bays/north.toml", "plate.rated"),
        ("workshop.toml", "unit"),
        ("policy.toml", "policy.level_pads"),
    }
    wheelbase = found["vehicles/harbour-hatch.toml", "sizes.wheelbase"]
    assert wheelbase.value == 2600
    assert '"2600 mm" or "102.4 in"' in wheelbase.allowed
    assert "quotes" in wheelbase.remedy
    assert "Did you mean" in found["workshop.toml", "unit"].remedy
    assert all(e.message.startswith(e.place) for e in found.values())


def test_one_message_holds_every_complaint(shop: Path) -> None:
    edit(shop / "vehicles/harbour-hatch.toml", '"2600 ± 3 mm"', "2600")
    edit(shop / "bays/north.toml", 'rated = "4000 kg"', "rated = 4000")
    with pytest.raises(InputErrors) as caught:
        read_workshop(shop)
    assert len(str(caught.value).splitlines()) == 2


@pytest.mark.parametrize(
    ("place", "dotted", "value", "field", "allowed"),
    [
        ("jobs/hatch-engine-out.toml", "steps.0.kind", "hoist", "steps[0]", "take off"),
        ("jobs/hatch-engine-out.toml", "steps.1.force", "225", "steps[1].force", "225 N"),
        ("jobs/hatch-engine-out.toml", "steps.1.forse", "225 N", "steps[1].forse", "force"),
        ("vehicles/harbour-hatch.toml", "point_sets.0.points.2.up", "-3 mm",
         "point_sets[0].points[2].up", "not negative"),
        ("vehicles/harbour-hatch.toml", "point_sets.0.points.2.corner", "XX",
         "point_sets[0].points[2].corner", "'RR'"),
        ("vehicles/harbour-hatch.toml", "zones.0.outline.1.0", 480, "zones[0].outline[1][0]", "mm"),
        ("vehicles/harbour-hatch.toml", "zones.0.id", "Skirt Left", "zones[0].id", "lower-case"),
        ("vehicles/harbour-hatch.toml", "sources.tape.date", "soon", "sources.tape.date", "2026"),
        ("vehicles/harbour-hatch.toml", "label", "", "label", "not empty"),
        ("vehicles/harbour-hatch.toml", "label", 7, "label", "text"),
        ("vehicles/harbour-hatch.toml", "sizes", [], "sizes", "table"),
        ("vehicles/harbour-hatch.toml", "point_sets", [], "point_sets", "at least 1"),
        ("vehicles/harbour-hatch.toml", "weights.lf.sauce", "x", "weights.lf", "value and source"),
        ("bays/north.toml", "inspection.in_service", "perhaps", "inspection.in_service", "true"),
        ("bays/north.toml", "arms.left_front.top", "0 mm", "arms.left_front.top", "reach_high"),
        ("adapters/peg-head.toml", "lots.0.count", 1.5, "lots[0].count", "whole"),
        ("adapters/peg-head.toml", "lots.0.count", -1, "lots[0].count", "not less than 0"),
        ("adapters/peg-head.toml", "price", "dear", "price", "number"),
        ("adapters/peg-head.toml", "width", "none", "width", "a length"),
        ("workshop.toml", "visits.harbour-hatch", "often", "visits.harbour-hatch", "whole"),
    ],
)  # fmt: skip
def test_field_value_and_what_is_allowed(
    place: str, dotted: str, value: object, field: str, allowed: str
) -> None:
    readers = {"jobs": read_job, "vehicles": read_vehicle, "bays": read_bay,
               "adapters": read_adapter}  # fmt: skip
    reader = readers.get(place.split("/")[0], read_about)
    with pytest.raises(InputErrors) as caught:
        reader(data_text(changed(place, {dotted: value})))
    (error,) = caught.value.errors
    assert error.field == field
    assert allowed in f"{error.allowed} {error.remedy}"


def test_missing_fields_are_named(shop: Path) -> None:
    edit(shop / "vehicles/harbour-hatch.toml", 'label = "Harbour hatch"\n', "")
    (error,) = told(shop)
    assert (error.field, error.value) == ("label", "nothing")
    assert "required" in error.allowed


def test_bad_toml_tells_line_and_column(shop: Path) -> None:
    edit(shop / "bays/north.toml", 'label = "North bay"', "label = North bay")
    (error,) = told(shop)
    assert error.place == "bays/north.toml"
    assert "line 1" in str(error.value)


@pytest.mark.parametrize(
    ("content", "word"),
    [
        (b"\xff\xfe" + "label = 1".encode("utf-16-le"), "UTF-8"),
        (b"label = \xe9", "UTF-8"),
        (b"x = " + b"[" * 40_000 + b"]" * 40_000, "TOML"),
        (b"x = " + b"9" * 5000, "TOML"),
        (b".".join([b"a"] * 30_000) + b" = 1", "nested"),
        (b".".join([b"a"] * 60) + b" = 1", "nested"),
        (b"#" * (GREATEST_FILE + 1), "bytes"),
        (b"label = 1\x00", "TOML"),
    ],
)
def test_files_beyond_any_record(shop: Path, content: bytes, word: str) -> None:
    (shop / "vehicles" / "harbour-hatch.toml").write_bytes(content)
    errors = [e for e in told(shop) if e.place == "vehicles/harbour-hatch.toml"]
    assert len(errors) == 1
    assert word in f"{errors[0].value} {errors[0].allowed} {errors[0].remedy}"


def test_text_beyond_any_record_is_refused_too() -> None:
    with pytest.raises(InputError, match="at most"):
        toml_data("#" * (GREATEST_FILE + 1))


@pytest.mark.parametrize("name", ["vehicles", "bays", "adapters"])
def test_a_missing_folder_is_named(shop: Path, name: str) -> None:
    shutil.rmtree(shop / name)
    (shop / "workshop.toml").write_text('name = "Bare"\n', "utf-8")
    shutil.rmtree(shop / "jobs")
    error = next(e for e in told(shop) if e.place == name)
    assert f"folder {name}" in error.remedy


def test_a_file_in_place_of_a_folder(shop: Path) -> None:
    shutil.rmtree(shop / "bays")
    (shop / "bays").write_text("", "utf-8")
    assert any(e.place == "bays" and e.field == "folder" for e in told(shop))


def test_no_workshop_at_all(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"workshop\.toml"):
        read_workshop(tmp_path / "nowhere")
    with pytest.raises(InputError, match="folder"):
        read_workshop(QUAYSIDE / "workshop.toml")
    assert any(e.place == "workshop.toml" for e in told(tmp_path))


def test_files_that_would_be_passed_over_are_named(shop: Path) -> None:
    (shop / "harbour-hatch.toml").write_text('label = "x"\n', "utf-8")
    (shop / "vehicles" / "Harbour Hatch.TOML").write_text('label = "x"\n', "utf-8")
    assert {e.place for e in told(shop)} == {"harbour-hatch.toml", "vehicles/Harbour Hatch.TOML"}


def test_other_files_are_left_alone(shop: Path) -> None:
    (shop / "vehicles" / "photo.jpg").write_bytes(b"\xff\xd8")
    (shop / "README.md").write_text("x", "utf-8")
    assert read_workshop(shop).about.invented


@pytest.mark.skipif(os.name == "nt", reason="links need rights there")
class TestLinks:
    def test_a_link_in_a_circle(self, shop: Path) -> None:
        path = shop / "vehicles" / "round.toml"
        path.symlink_to(path)
        (error,) = told(shop)
        assert error.place == "vehicles/round.toml"

    def test_a_folder_linked_in_a_circle(self, shop: Path) -> None:
        shutil.rmtree(shop / "jobs")
        (shop / "jobs").symlink_to(shop / "jobs")
        assert [e.place for e in told(shop)] == ["jobs"]

    def test_a_workshop_linked_in_a_circle(self, tmp_path: Path) -> None:
        (tmp_path / "round").symlink_to(tmp_path / "round")
        with pytest.raises(InputError):
            read_workshop(tmp_path / "round")

    def test_a_link_that_leads_out_is_not_followed(self, shop: Path, tmp_path: Path) -> None:
        outside = tmp_path / "secret.toml"
        outside.write_text('password = "quay"\n', "utf-8")
        (shop / "vehicles" / "guest.toml").symlink_to(outside)
        (error,) = told(shop)
        assert "leads out" in str(error.value)
        assert "quay" not in error.message

    def test_a_link_inside_is_followed(self, shop: Path) -> None:
        (shop / "vehicles" / "guest.toml").symlink_to(shop / "vehicles" / "harbour-hatch.toml")
        assert read_workshop(shop).vehicle("guest").label == "Harbour hatch"

    def test_a_pipe_is_not_waited_for(self, shop: Path) -> None:
        os.mkfifo(shop / "vehicles" / "pipe.toml")
        (error,) = told(shop)
        assert error.place == "vehicles/pipe.toml"

    def test_a_folder_with_the_name_of_a_file(self, shop: Path) -> None:
        (shop / "vehicles" / "boat.toml").mkdir()
        (error,) = told(shop)
        assert error.place == "vehicles/boat.toml"


def test_a_file_that_may_not_be_read(shop: Path, monkeypatch) -> None:
    def refuse(path: Path, *args: object) -> object:
        if path.name == "harbour-hatch.toml":
            raise PermissionError(13, "Permission denied")
        return open(path, *args)

    monkeypatch.setattr(Path, "open", refuse)  # an administrator may read every file
    (error,) = told(shop)
    assert (error.place, error.value) == ("vehicles/harbour-hatch.toml", "Permission denied")


# --- policy ---------------------------------------------------------------------------------------


def test_policy_keeps_defaults_and_names_sources() -> None:
    policy = read_policy('gap_arm = "1 in"\npush_force = {value = "300 N", source = "our own"}')
    assert policy["gap_arm"] == 0.0254
    assert policy.threshold("gap_arm").source == "shop policy"
    assert policy.threshold("push_force").source == "our own"
    assert policy["edge_stop"] == DEFAULT_POLICY["edge_stop"]


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("gap_arm = 25", ["policy.gap_arm"]),
        ('gap_arm = "25 kg"\nedge_stop = 3', ["policy.gap_arm", "policy.edge_stop"]),
        ('gap_arm = "-25 mm"', ["policy.gap_arm"]),
        ('gap_arm = {value = "25 mm", why = "x"}', ["policy.gap_arm"]),
        ('gap_arm = {source = "x"}', ["policy.gap_arm"]),
        ('gap = "25 mm"', ["policy.gap"]),
        ('edge_stop = "300 mm"', ["policy.edge_stop"]),
        ('least_pad_stop = "12 %"', ["policy.least_pad_stop"]),
        ('split_narrow = "80 %"', ["policy.split_narrow"]),
        ('friction = "70 %"', ["policy.friction"]),
        ("gap_arm = [1]", ["policy.gap_arm"]),
    ],
)
def test_policy_complaints(text: str, fields: list[str]) -> None:
    with pytest.raises(InputErrors) as caught:
        read_policy(text)
    assert [e.field for e in caught.value.errors] == fields
