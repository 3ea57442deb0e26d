"""A few of the faults of benchmarks/mutate_records.py; all of them are tried by hand."""

from __future__ import annotations

from benchmarks.mutate_records import Count, faults, incomplete, stands_in, sweep, try_one
from underset.errors import InputError


def test_a_few_faults_end_in_a_clear_error_or_a_justified_verdict() -> None:
    count = sweep(0.05, 20261125, lambda rng: rng.random() < 0.004)
    assert sum(count.tried.values()) > 60
    assert count.findings == []
    assert {"error", "read, not planned"} <= {found for _, found in count.tried}


def test_a_nameless_error_would_be_found() -> None:
    way = ("weights", "lf", "value")
    assert incomplete(InputError("file", "394 kg", "something else"), way, "394 kg") == "the field"
    assert incomplete(InputError("weights.lf", "12", "x"), way, "394 kg") == "the value 394 kg"
    assert incomplete(InputError("weights.lf", "394 kg", "a mass"), way, "394 kg") == ""


def test_every_fault_of_a_figure_is_tried() -> None:
    count, place = Count(), "vehicles/harbour-hatch.toml"
    way = ("sizes", "wheelbase")
    found = {
        fault: try_one(count, place, way, fault, bad, plan=False)
        for fault, bad in faults("2600 ± 3 mm").items()
    }
    read = {fault for fault, told in found.items() if told != "error"}
    assert read <= {"wrong unit, like"}
    assert count.findings == []


def test_only_named_fields_have_a_stand_in() -> None:
    assert stands_in("vehicles: body_twist_low")
    assert not stands_in("vehicles: sizes.width")
