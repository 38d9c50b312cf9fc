"""The verbs as a user calls them: what they print where, and how they end."""

import io
import json
import sys
from pathlib import Path

import pytest

from layoutest import cli
from layoutest.cli import run
from layoutest.errors import InternalError
from layoutest.tables.shipped import demo_folder

PLAIN = {
    "format": "layoutest-layout",
    "version": 1,
    "title": "Kitchen",
    "services": {"H": {"fluid_c": 80, "ambient_c": 20, "covering": "stone-wool-foil", "thickness_mm": 40}},
    "nodes": {"n1": [0, 0, 0], "n2": [2500, 0, 0]},
    "legs": {"l1": {"from": "n1", "to": "n2", "service": "H", "pipe": "steel DN50"}},
}


@pytest.fixture(name="kitchen")
def kitchen_file(tmp_path):
    return written(tmp_path, PLAIN)


def written(folder, document, name="kitchen.layout.json"):
    path = folder / name
    path.write_text(json.dumps(document), encoding="utf-8")
    return str(path)


def test_estimate(kitchen, capsys):
    assert run(["estimate", kitchen]) == 0
    told = capsys.readouterr()
    assert told.out.startswith("Kitchen\nkitchen.layout.json\n")
    assert "INVENTED PRICES" in told.out
    assert "NOT COMPLETE" not in told.out
    assert "asbestos" in told.out
    assert told.err == "prices: the shipped invented example\n"
    assert max(map(len, told.out.splitlines())) <= 80


def test_estimate_as_json(kitchen, capsys):
    assert run(["estimate", kitchen, "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert list(record) == [
        "format", "version", "layouts", "complete", "left_out", "straights", "runs", "fittings", "packing", "counts",
        "cost", "snags",
    ]  # fmt: skip
    assert record["complete"] is True
    assert record["runs"] == [
        {
            "id": "s1.1",
            "straight": "s1",
            "covered_mm": 2500.0,
            "packed_mm": 2500,
            "twist_deg": None,
            "ends": [{"cut": "square", "node": "n1"}, {"cut": "square", "node": "n2"}],
        }
    ]


def test_an_error_in_the_layout_ends_with_1_and_says_not_complete(tmp_path, capsys):
    legs = {**PLAIN["legs"], "l2": {"from": "n2", "to": "n1", "service": "H", "pipe": "steel DN50"}}
    path = written(tmp_path, {**PLAIN, "legs": legs})
    for verb in ("estimate", "cuts"):
        assert run([verb, path]) == 1
        assert capsys.readouterr().out.startswith("NOT COMPLETE: 1 error, 1 drawn but left out. The totals stay open")
    assert run(["estimate", path, "--json"]) == 1
    record = json.loads(capsys.readouterr().out)
    assert (record["complete"], record["left_out"], record["cost"]["total"]) == (False, ["l2"], None)


def test_check(tmp_path, capsys):
    path = written(tmp_path, {**PLAIN, "nodes": {**PLAIN["nodes"], "n3": [9, 9, 9]}})
    assert run(["check", path]) == 0
    assert capsys.readouterr().out.splitlines() == [
        "warning  stray-node",
        "         No leg ends at node n3.",
        "         At n3.",
        "         Delete it, or draw a leg to it.",
    ]
    assert run(["check", path, "--json"]) == 0
    (snag,) = json.loads(capsys.readouterr().out)["snags"]
    assert (snag["id"], snag["severity"], snag["where"]) == ("stray-node:n3", "warning", ["n3"])


def test_check_of_a_layout_without_snags(kitchen, capsys):
    assert run(["check", kitchen]) == 0
    assert capsys.readouterr().out == "No snags.\n"


def test_cuts(kitchen, capsys):
    assert run(["cuts", kitchen]) == 0
    text = capsys.readouterr().out
    assert "   1  0 [s1.1-1, 0-1000] 1000\n" in text
    assert "   3  0 [s1.1-3, 2000-2500] 500  offcut 500: keep\n" in text
    assert run(["cuts", kitchen, "--json"]) == 0
    (packing,) = json.loads(capsys.readouterr().out)["packing"]
    assert [cut["section"] for cut in packing["cuts"]] == [1, 2, 3]


def test_compare(tmp_path, kitchen, capsys):
    longer = written(tmp_path, {**PLAIN, "nodes": {"n1": [0, 0, 0], "n2": [3500, 0, 0]}}, "longer.layout.json")
    assert run(["compare", kitchen, longer]) == 0
    text = capsys.readouterr().out
    assert "  sections                                        3            4           +1\n" in text
    assert max(map(len, text.splitlines())) <= 80
    assert run(["compare", kitchen, longer, "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert {"what": "sections", "unit": "nr", "a": "3", "b": "4", "difference": "1"} in record["counts"]
    assert record["complete"] == [True, True]


def test_standard_input(kitchen, capsys, monkeypatch):
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(Path(kitchen).read_bytes())))
    assert run(["estimate", "-", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["layouts"][0]["file"] == "standard input"


def test_standard_input_only_once(capsys):
    assert run(["estimate", "-", "-"]) == 2
    assert capsys.readouterr().err == "Standard input (-) can be read only once; give the other layouts as files.\n"


def test_prices_beside_the_layout_are_used(tmp_path, kitchen, capsys):
    import shutil

    shutil.copytree(demo_folder() / "prices", tmp_path / "prices")
    assert run(["estimate", kitchen]) == 0
    assert capsys.readouterr().err == f"prices: {tmp_path / 'prices'}\n"


def test_faults_of_layouts_and_prices_are_told_together(tmp_path, capsys):
    bad = written(tmp_path, {**PLAIN, "version": 2})
    missing = str(tmp_path / "no.layout.json")
    assert run(["estimate", bad, missing, "--prices", str(tmp_path / "nowhere")]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert [line.partition(":")[0] for line in told.err.splitlines()] == [
        "kitchen.layout.json",
        "no.layout.json",
        str(tmp_path / "nowhere"),
    ]


def test_a_slip_in_a_key_is_told_on_standard_error(tmp_path, capsys):
    path = written(tmp_path, {**PLAIN, "legs": {"l1": {**PLAIN["legs"]["l1"], "acess": "ladder"}}})
    assert run(["estimate", path, "--json"]) == 0
    told = capsys.readouterr()
    assert "warning: kitchen.layout.json: legs.l1: unknown key 'acess'" in told.err
    json.loads(told.out)


@pytest.mark.parametrize("verb", [[], ["nothing"], ["estimate"], ["estimate", "a", "--nothing"], ["compare", "a"]])
def test_bad_usage_ends_with_2(verb, capsys):
    assert run(verb) == 2
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize("verb", list(cli.VERBS))
def test_every_verb_has_help_with_an_example(verb, capsys):
    assert run([verb, "--help"]) == 0
    assert f"layoutest {verb}" in capsys.readouterr().out


@pytest.mark.parametrize("error", [InternalError("the plan of x is wrong"), RuntimeError("boom")])
def test_our_own_fault_ends_with_3_and_no_traceback(kitchen, capsys, monkeypatch, error):
    def broken(*_):
        raise error

    monkeypatch.setattr("layoutest.job.derive", broken)
    assert run(["estimate", kitchen]) == 3
    told = capsys.readouterr().err
    assert "internal error, please report it with the layout" in told
    assert str(error) in told
    assert "Traceback" not in told


def test_the_trace_can_be_seen(kitchen, monkeypatch):
    def broken(*_):
        raise RuntimeError("boom")

    monkeypatch.setattr("layoutest.job.derive", broken)
    monkeypatch.setenv("LAYOUTEST_TRACE", "1")
    with pytest.raises(RuntimeError):
        run(["estimate", kitchen])


def test_main_ends_the_process(kitchen, monkeypatch):
    monkeypatch.setattr(sys, "argv", ["layoutest", "check", kitchen])
    with pytest.raises(SystemExit) as ended:
        cli.main()
    assert ended.value.code == 0


def test_the_public_functions(kitchen, tmp_path):
    import layoutest

    layout = layoutest.load(kitchen)
    layoutest.save(layout, tmp_path / "saved.layout.json")
    assert layoutest.load(tmp_path / "saved.layout.json") == layout
    prices = layoutest.load_prices(demo_folder() / "prices")
    assert (
        layoutest.estimate(layout, prices).cost.total
        == layoutest.estimate([layout], layoutest.load_prices()).cost.total
    )
