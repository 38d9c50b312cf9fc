"""Choosing a covering for every leg, and the words for each leg that is left out or doubtful."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layoutest.layout.document import PipeSize, Service, Settings

ROW = {"n1": (0, 0), "n2": (1000, 0), "n3": (3000, 0), "n4": (3000, 2000)}
ONE = {"l1": "n1 n2"}
BARE = {"covered": False}


def service(**fields):
    return {"HF": replace(Service(covering="stone-wool-foil", thickness_mm=40), **fields)}


def spec(made, leg="l1"):
    return made.chosen.legs[leg].spec


def codes(made):
    """What is told of legs; ROW has nodes that not every test uses."""
    return [told for told in made.codes() if told[0] != "stray-node"]


class TestSpec:
    def test_a_leg_gets_all_that_its_covering_is_made_of(self, sketch):
        chosen = spec(sketch(ROW, {"l1": "n1 n2 steel DN50"}))
        # The outside diameter and the radius are those of the shipped table, D = bore + 2 × thickness.
        assert (chosen.outside_diameter_mm, chosen.elbow_radius_mm) == (60.3, 76)
        assert (chosen.covering, chosen.bore_mm, chosen.thickness_mm) == ("stone-wool-foil", 60, 40)
        assert (chosen.covered, chosen.covered_diameter_mm, chosen.section_mm) == (True, 140, 1000)
        assert chosen.text == "steel DN50, stone-wool-foil 60x40"

    def test_a_bare_leg_has_the_diameter_of_its_pipe(self, sketch):
        chosen = spec(sketch(ROW, {"l1": ("n1 n2", BARE)}))
        assert (chosen.covered, chosen.covered_diameter_mm, chosen.text) == (False, 60, "mid, bare")

    def test_a_bare_leg_needs_no_covering_at_all(self, sketch):
        made = sketch(ROW, {"l1": ("n1 n2", BARE)}, services=service(covering=None, thickness_mm=None))
        assert codes(made) == []

    def test_a_legs_own_thickness_and_covering_come_before_its_services(self, sketch):
        own = {"thickness_mm": 60, "covering": "stone-wool-foil"}
        made = sketch(ROW, {"l1": ("n1 n2", own)}, services=service(covering="straw", thickness_mm=1))
        assert spec(made).stock == ("stone-wool-foil", 60, 60)
        assert codes(made) == []

    # The smallest bore that is at least the outside diameter − 0.6 mm.
    @pytest.mark.parametrize(
        ("outside_mm", "bore_mm"), [(60, 60), (60.3, 60), (60.6, 60), (60.7, 67), (59.9, 60), (54.6, 54), (54.7, 60)]
    )
    def test_the_bore(self, sketch, outside_mm, bore_mm):
        made = sketch(ROW, {"l1": "n1 n2 own"}, pipes={"own": PipeSize(outside_mm, 0)})
        assert spec(made).bore_mm == bore_mm

    def test_a_measured_length_counts_in_place_of_the_drawn_one(self, sketch):
        leg = sketch(ROW, {"l1": ("n1 n2", {"measured_mm": 777})}).chosen.legs["l1"]
        assert (leg.length_mm, leg.drawn_mm) == (777, 1000)


class TestPipes:
    def test_an_entry_replaces_the_given_keys_of_a_shipped_pipe(self, sketch):
        legs = {"l1": "n1 n2 steel DN50"}
        radius = spec(sketch(ROW, legs, pipes={"steel DN50": PipeSize(elbow_radius_mm=114)}))
        assert (radius.outside_diameter_mm, radius.elbow_radius_mm) == (60.3, 114)
        diameter = spec(sketch(ROW, legs, pipes={"steel DN50": PipeSize(outside_diameter_mm=57)}))
        assert (diameter.outside_diameter_mm, diameter.elbow_radius_mm) == (57, 76)
        tight = spec(sketch(ROW, legs, pipes={"steel DN50": PipeSize(elbow_radius_mm=0)}))
        assert tight.elbow_radius_mm == 0

    def test_a_pipe_without_an_elbow_radius_is_told_once(self, sketch):
        legs = {"l10": "n2 n3 own", "l2": ("n1 n2 own", {"thickness_mm": 50}), "l1": ("n3 n4 own", BARE)}
        made = sketch(ROW, legs, pipes={"own": PipeSize(60)})
        snag = made.only("elbow-unknown")
        assert (snag.severity, snag.where) == ("note", ("l1", "l2", "l10"))
        assert snag.says == "No elbow radius is given for 'own': its elbows are taken as tight, with one mitre."
        assert snag.do == "Give elbow_radius_mm under pipes, 'own' (0 for tight elbows)."

    def test_an_elbow_radius_of_nought_is_known(self, sketch):
        assert codes(sketch(ROW, {"l1": "n1 n2 small"})) == []


class TestLeftOut:
    """Each code of a leg that is left out: (what is drawn, the code, what it says, what to do)."""

    @pytest.mark.parametrize(
        ("pipe", "says", "do"),
        [
            (
                "copper 23",
                "No pipe is called 'copper 23'; near: 'copper 22', 'copper 28'.",
                "Name a shipped pipe, or add it under pipes with its outside diameter.",
            ),
            (
                "zzz",
                "No pipe is called 'zzz'.",
                "Name a shipped pipe, or add it under pipes with its outside diameter.",
            ),
            (
                "half",
                "The pipe 'half' has no outside diameter.",
                "Give outside_diameter_mm under pipes, 'half'.",
            ),
        ],
    )
    def test_unknown_pipe(self, sketch, pipe, says, do):
        made = sketch(ROW, {"l1": f"n1 n2 {pipe}"}, pipes={"half": PipeSize(elbow_radius_mm=50)})
        assert made.chosen.legs == {}
        snag = made.only("unknown-pipe")
        assert (snag.severity, snag.where, snag.says, snag.do) == ("error", ("l1",), says, do)

    def test_unknown_service(self, sketch):
        snag = sketch(ROW, {"l1": ("n1 n2", {"service": "HT"})}).only("unknown-service")
        assert (snag.severity, snag.where) == ("error", ("l1",))
        assert snag.says == "No service is called 'HT'."
        assert snag.do == "Name one of the services."

    def test_a_service_that_is_nearly_known(self, sketch):
        services = {"heating": Service(covering="stone-wool-foil", thickness_mm=40)}
        made = sketch(ROW, {"l1": ("n1 n2", {"service": "heatings"})}, services=services)
        assert made.only("unknown-service").says == "No service is called 'heatings'; near: 'heating'."

    def test_a_bare_leg_of_an_unknown_service(self, sketch):
        made = sketch(ROW, {"l1": ("n1 n2", {**BARE, "service": "X"})})
        assert codes(made) == [("unknown-service", "l1")]

    def test_unknown_covering(self, sketch):
        snag = sketch(ROW, {"l1": ("n1 n2", {"covering": "stone-wool"})}).only("unknown-covering")
        assert (snag.severity, snag.where) == ("error", ("l1",))
        assert snag.says == (
            "The price book 'Invented example prices' sells no covering called 'stone-wool'; near: 'stone-wool-foil'."
        )
        assert snag.do == "Name one that it sells: stone-wool-foil."

    def test_no_covering_given(self, sketch):
        snag = sketch(ROW, ONE, services=service(covering=None)).only("unknown-covering")
        assert snag.says == "No covering is given, neither by the leg nor by its service."

    def test_a_thickness_that_is_not_sold(self, sketch):
        snag = sketch(ROW, ONE, services=service(thickness_mm=45)).only("bad-thickness")
        assert (snag.severity, snag.where) == ("error", ("l1",))
        assert snag.says == "stone-wool-foil with a bore of 60 mm is not sold 45 mm thick; the next larger is 50 mm."
        assert snag.do == "Choose one of 20, 25, 30, 40, 50, 60, 75, 80, 100 mm."

    def test_a_thickness_above_all_that_are_sold(self, sketch):
        snag = sketch(ROW, ONE, services=service(thickness_mm=100.5)).only("bad-thickness")
        assert snag.says == "stone-wool-foil with a bore of 60 mm is not sold 100.5 mm thick; the largest is 100 mm."

    def test_no_thickness(self, sketch):
        snag = sketch(ROW, ONE, services=service(thickness_mm=None)).only("bad-thickness")
        assert snag.says == "The thickness is not given."
        assert snag.group == "stone-wool-foil, thickness not given"
        assert snag.do == "Give thickness_mm as a number of mm."

    def test_no_bore(self, sketch):
        snag = sketch(ROW, {"l1": "n1 n2 vast"}, pipes={"vast": PipeSize(406.4, 600)}).only("no-bore")
        assert (snag.severity, snag.where) == ("error", ("l1",))
        assert snag.says == "No section of stone-wool-foil fits a pipe of 406.4 mm; the largest bore is 324 mm."
        assert snag.do == "Choose another covering, or add the section to sections.csv."

    @pytest.mark.parametrize("ends", ["n1 n5", "n1 n1"])
    def test_zero_length(self, sketch, ends):
        snag = sketch({**ROW, "n5": (0, 0)}, {"l1": ends, "l2": "n1 n2", "l3": "n3 n4"}).only("zero-length")
        assert (snag.severity, snag.where) == ("error", ("l1",))
        assert snag.says == "The leg has no length: both its ends are in one place."
        assert snag.do == "Delete it."

    def test_a_measured_length_gives_no_direction(self, sketch):
        made = sketch({"n1": (0, 0), "n2": (0, 0)}, {"l1": ("n1 n2", {"measured_mm": 500})})
        assert codes(made) == [("zero-length", "l1")]

    @pytest.mark.parametrize("ends", ["n1 n2", "n2 n1"])
    def test_duplicate_leg(self, sketch, ends):
        made = sketch(ROW, {"l10": ends, "l9": "n1 n2 big"})
        snag = made.only("duplicate-leg")
        assert (snag.severity, snag.where) == ("error", ("l10", "l9"))
        assert (snag.says, snag.do) == ("Leg l10 joins the same nodes as leg l9.", "Delete one.")
        assert list(made.chosen.legs) == ["l9"]
        assert codes(made) == [("duplicate-leg", "l10", "l9")]

    @pytest.mark.parametrize(
        ("one", "two"),
        [
            pytest.param("n1 n3", "n1 n2", id="from one node"),
            pytest.param("n2 n1", "n1 n3", id="from one node, against each other"),
            pytest.param("n1 n3", "n2 n9", id="over a part, no node shared"),
            pytest.param("n1 n9", "n2 n3", id="one inside the other"),
        ],
    )
    def test_overlapping_legs(self, sketch, one, two):
        made = sketch({"n1": (0, 0), "n2": (1000, 0), "n3": (3000, 0), "n9": (9000, 0)}, {"l2": two, "l1": one})
        snag = made.only("overlapping-legs")
        assert (snag.severity, snag.where) == ("error", ("l2", "l1"))
        assert snag.says == "Leg l2 lies on leg l1 over part of its length."
        assert snag.do == "Delete one of them, or end one where the other begins."
        assert list(made.chosen.legs) == ["l1"]

    @pytest.mark.parametrize(("aside", "overlap"), [(87, True), (88, False)])
    def test_legs_that_leave_a_node_within_the_tolerance_of_one_way(self, sketch, aside, overlap):
        # 87 mm on 10,000 mm are 0.498°, 88 mm are 0.504°.
        made = sketch({"n1": (0, 0), "n2": (9000, 0), "n3": (10_000, aside)}, {"l1": "n1 n2", "l2": "n1 n3"})
        assert ("l2" in made.chosen.refused) == overlap

    def test_slanting_legs_on_one_line(self, sketch):
        nodes = {"n1": (0, 0, 0), "n2": (3000, 7000, 1100), "n3": (1500, 3500, 550), "n4": (6000, 14_000, 2200)}
        assert codes(sketch(nodes, {"l1": "n1 n2", "l2": "n3 n4"})) == [("overlapping-legs", "l2", "l1")]

    def test_a_leg_left_out_leaves_out_no_other(self, sketch):
        nodes = {"n1": (0, 0), "n2": (2000, 0), "n3": (1000, 0), "n4": (4000, 0), "n5": (3000, 0), "n6": (5000, 0)}
        # l2 lies on l1 and l3 on l2 alone.
        made = sketch(nodes, {"l1": "n1 n2", "l2": "n3 n4", "l3": "n5 n6"})
        assert list(made.chosen.legs) == ["l1", "l3"]
        assert codes(made) == [("overlapping-legs", "l2", "l1")]

    def test_a_leg_left_out_for_another_reason_leaves_out_no_double(self, sketch):
        made = sketch(ROW, {"l1": "n1 n2 lead", "l2": "n1 n2"})
        assert list(made.chosen.legs) == ["l2"]
        assert codes(made) == [("unknown-pipe", "l1")]

    def test_the_place_of_a_measured_leg_is_not_true_so_that_it_lies_on_no_other(self, sketch):
        nodes = {"n1": (0, 0), "n2": (2000, 0), "n3": (1000, 0), "n4": (4000, 0)}
        made = sketch(nodes, {"l1": "n1 n2", "l2": ("n3 n4", {"measured_mm": 1200})})
        assert codes(made) == [("measured-not-checked", "l2")]

    def test_measured_legs_that_leave_a_node_one_way_overlap_all_the_same(self, sketch):
        made = sketch(ROW, {"l1": "n1 n2", "l2": ("n1 n3", {"measured_mm": 500})})
        assert codes(made) == [("overlapping-legs", "l2", "l1")]


class TestOneThingIsToldOnce:
    def test_the_thickness_before_the_bore(self, sketch):
        pipes, services = {"vast": PipeSize(406.4, 0)}, service(thickness_mm="auto")
        made = sketch(ROW, {"l1": "n1 n2 vast"}, pipes=pipes, services=services)
        assert codes(made) == [("bad-thickness", "l1")]

    def test_the_covering_before_the_thickness_and_the_length(self, sketch):
        own = {"covering": "straw", "thickness_mm": 7}
        assert codes(sketch(ROW, {"l1": ("n1 n1", own)})) == [("unknown-covering", "l1")]

    def test_the_length_before_a_double(self, sketch):
        made = sketch(ROW, {"l1": "n1 n1", "l2": "n1 n1", "l3": "n1 n2"})
        assert codes(made) == [("zero-length", "l1"), ("zero-length", "l2")]

    def test_but_every_unknown_name_is_another_thing(self, sketch):
        own = {"service": "X", "covering": "straw"}
        made = sketch(ROW, {"l1": ("n1 n2 lead", own)})
        assert codes(made) == [("unknown-pipe", "l1"), ("unknown-service", "l1"), ("unknown-covering", "l1")]

    def test_a_covering_that_hangs_on_an_unknown_service_is_not_judged(self, sketch):
        made = sketch(ROW, {"l1": ("n1 n2", {"service": "X"})})
        assert codes(made) == [("unknown-service", "l1")]


class TestDoubtful:
    def test_loose_bore(self, sketch):
        # 54.7 mm is just too large for the bore of 54 mm.
        legs = {"l2": "n2 n3 loose", "l1": "n1 n2 loose", "l3": ("n3 n4 loose", BARE)}
        made = sketch(ROW, legs, pipes={"loose": PipeSize(54.7, 0)})
        snag = made.only("loose-bore")
        assert (snag.severity, snag.where) == ("warning", ("l1", "l2"))
        assert snag.says == "Bore 60 mm is 5.3 mm loose on a pipe of 54.7 mm; the bore below is 54 mm."
        assert snag.do == "Ask the merchant for a nearer bore, or pack the gap."
        assert snag.group == "loose, stone-wool-foil 60x40"

    def test_loose_on_the_smallest_bore(self, sketch):
        made = sketch(ROW, {"l1": "n1 n2 thin"}, pipes={"thin": PipeSize(12, 0)})
        assert made.only("loose-bore").says == (
            "Bore 15 mm is 3.0 mm loose on a pipe of 12 mm; there is no smaller bore."
        )

    @pytest.mark.parametrize(("outside_mm", "told"), [(58, False), (57.9, True)])
    def test_a_gap_over_2_mm(self, sketch, outside_mm, told):
        made = sketch(ROW, {"l1": "n1 n2 own"}, pipes={"own": PipeSize(outside_mm, 0)})
        assert bool(codes(made)) == told

    @pytest.mark.parametrize(
        ("fluid_c", "says"),
        [
            (251, "HF runs at 251 °C; stone-wool-foil is for 0 to 250 °C."),
            (-0.5, "HF runs at -0.5 °C; stone-wool-foil is for 0 to 250 °C."),
        ],
    )
    def test_outside_limits(self, sketch, fluid_c, says):
        made = sketch(ROW, {"l2": "n1 n2", "l1": "n2 n3"}, services=service(fluid_c=fluid_c))
        snag = made.only("outside-limits")
        assert (snag.severity, snag.where, snag.says) == ("warning", ("l1", "l2"), says)
        assert snag.do == "Choose a covering made for this temperature."
        assert snag.group == "HF, stone-wool-foil"

    def test_one_service_outside_limits_is_told_once_for_all_its_pipes(self, sketch):
        services = {name: replace(service()["HF"], fluid_c=fluid_c) for name, fluid_c in (("HF", 260), ("HR", 255))}
        legs = {"l1": "n1 n2 big", "l2": "n2 n3", "l3": ("n3 n4", {"service": "HR"})}
        made = sketch(ROW, legs, services=services)
        told = {snag.where: snag.says for snag in made.snags() if snag.code == "outside-limits"}
        assert told == {
            ("l1", "l2"): "HF runs at 260 °C; stone-wool-foil is for 0 to 250 °C.",
            ("l3",): "HR runs at 255 °C; stone-wool-foil is for 0 to 250 °C.",
        }

    @pytest.mark.parametrize("fluid_c", [0, 250, None])
    def test_within_limits(self, sketch, fluid_c):
        assert codes(sketch(ROW, ONE, services=service(fluid_c=fluid_c))) == []

    def test_a_bare_pipe_has_no_limits(self, sketch):
        assert codes(sketch(ROW, {"l1": ("n1 n2", BARE)}, services=service(fluid_c=999))) == []

    def test_measured_not_checked(self, sketch):
        made = sketch(ROW, {"l1": ("n1 n2", {"measured_mm": 1010}), "l2": "n2 n3"})
        snag = made.only("measured-not-checked")
        assert (snag.severity, snag.where) == ("note", ("l1",))
        assert snag.says == (
            "The leg has a measured length, so its drawn place was not checked against other pipes, walls and slabs."
        )
        assert snag.do == "Check on site that nothing is in its way."


def test_snags_that_a_list_sums_up_say_the_same(sketch):
    own = [
        {"thickness_mm": 45}, {"thickness_mm": 55}, {"thickness_mm": "auto"}, {"service": "none"}, {"service": "X"},
        {"service": "Y"}, {"covering": "straw"}, {"covering": "hay"}, {"service": "hot"}, {"service": "hotter"},
    ]  # fmt: skip
    services = {
        **service(),
        "none": Service(covering="stone-wool-foil"),
        "hot": Service(covering="stone-wool-foil", thickness_mm=40, fluid_c=260),
        "hotter": Service(covering="stone-wool-foil", thickness_mm=40, fluid_c=270),
    }
    pipes = {"loose": PipeSize(54.7), "vast": PipeSize(406.4, 0), "vaster": PipeSize(508, 0)}
    drawn = [(pipe, fields) for pipe in (*pipes, "lead", "tin") for fields in (*own, {})]
    nodes = {f"{end}{row}": (1000 * side, 100 * row) for row in range(len(drawn)) for side, end in enumerate("ab")}
    legs = {f"l{row}": (f"a{row} b{row} {pipe}", fields) for row, (pipe, fields) in enumerate(drawn)}
    told = {}
    for snag in sketch(nodes, legs, services=services, pipes=pipes).snags():
        assert snag.group
        told.setdefault((snag.code, snag.group), set()).add((snag.says, snag.do))
    assert {len(texts) for texts in told.values()} == {1}
    assert {code for code, _ in told} == {
        "unknown-pipe", "unknown-service", "unknown-covering", "bad-thickness", "no-bore", "loose-bore",
        "outside-limits", "elbow-unknown",
    }  # fmt: skip


NODES = {**ROW, "n5": (0, 4000)}
LEGS = {"l1": "n1 n2", "l2": "n2 n3", "l3": "n3 n4", "l4": "n1 n5 lead"}


class TestAfterAnEdit:
    def test_what_did_not_change_is_the_same_object(self, sketch):
        first = sketch(NODES, LEGS)
        second = sketch({**NODES, "n4": (3000, 2100)}, LEGS, before=first)
        # The layout is drawn anew, so that every record of the document is equal but another one.
        assert second.chosen.legs == sketch({**NODES, "n4": (3000, 2100)}, LEGS).chosen.legs
        moved = replace(first.layout, nodes={**first.layout.nodes, "n4": second.layout.nodes["n4"]})
        third = type(first)(moved, first.chosen.book, first)
        assert third.chosen.legs["l1"] is first.chosen.legs["l1"]
        assert third.chosen.legs["l2"] is first.chosen.legs["l2"]
        assert third.chosen.legs["l3"] is not first.chosen.legs["l3"]
        assert third.network.straights["l1"] is first.network.straights["l1"]
        assert third.network.junctions["n1"] is first.network.junctions["n1"]
        assert third.network.straights["l3"].centre_line_mm == 2100

    @pytest.mark.parametrize(
        "parts",
        [
            {"services": service(thickness_mm=50)},
            {"pipes": {"mid": PipeSize(76, 0)}},
        ],
    )
    def test_other_services_or_pipes_are_chosen_afresh(self, sketch, parts):
        first = sketch(NODES, LEGS, services=service())
        again = sketch(NODES, LEGS, before=first, **{"services": service(), **parts})
        scratch = sketch(NODES, LEGS, **{"services": service(), **parts})
        assert again.chosen.legs == scratch.chosen.legs != first.chosen.legs
        assert again.network.straights == scratch.network.straights

    def test_another_tolerance_is_taken_up(self, sketch):
        # 88 mm aside on 10,000 mm are a turn of 0.504°.
        nodes, legs = {"n1": (0, 0), "n2": (10_000, 0), "n3": (20_000, 88)}, {"l1": "n1 n2", "l2": "n2 n3"}
        first = sketch(nodes, legs)
        wide = replace(first.layout, settings=Settings(angle_tolerance_deg=0.6))
        again = type(first)(wide, first.chosen.book, first)
        assert (first.at("n2").kind, again.at("n2").kind) == ("bend", "on")

    def test_another_price_book_is_taken_up(self, sketch, book):
        first = sketch(ROW, ONE)
        sold = {stock: section for stock, section in book.sections.items() if stock[1:] != (60, 40)}
        again = type(first)(first.layout, replace(book, sections=sold), first)
        assert codes(again) == [("bad-thickness", "l1")]
