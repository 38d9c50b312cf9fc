"""Prices of jobs small enough to be reckoned by hand."""

from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType

import pytest

from layoutest.book.reader import example_book_folder, read_book
from layoutest.book.records import ExtraLine, LabourTime, SectionSize, Sundry, VanOffcut
from layoutest.job import Source, estimate_job
from layoutest.layout.document import FittingChoice, Item, Layout, Leg, Node, Service, Settings

KEY = ("stone-wool-foil", 60.0, 40.0)


def pence(text):
    return Decimal(text)


def sundry(kind, price, **more):
    return Sundry(
        **{"kind": kind, "up_to_mm": None, "item": "", "width_mm": None, "roll_m": None, "price": price} | more
    )


@pytest.fixture(name="book")
def plain_book():
    """Round prices: sections 10.00, tape 20.00 for 50 m, one minute for a unit of any work, no percentages."""
    book = read_book(example_book_folder())
    works = ("section-metre", "square-joint", "mitre-joint", "tee", "end-seal", "jacket", "insert")
    return replace(
        book,
        vat_percent=pence("20"),
        margin_percent=Decimal(0),
        contingency_percent=Decimal(0),
        breakage_percent=Decimal(0),
        delivery=Decimal(0),
        waste_disposal_per_m3=Decimal(0),
        labour_rate_per_hour=pence("60"),
        sections=MappingProxyType({KEY: SectionSize(*KEY, 1000, pence("10.00"), 6, whole_cartons=False)}),
        sundries=(
            sundry("tape", pence("20.00"), width_mm=75, roll_m=Decimal(50)),
            sundry("end-seal", pence("1.00")),
            sundry("elbow-cover", pence("7.00")),
            sundry("jacket", pence("30.00")),
            sundry("insert", pence("4.00")),
        ),
        labour=tuple(LabourTime(work, None, Decimal(1)) for work in works),
    )


SERVICE = Service("Heating", fluid_c=80, ambient_c=20, covering="stone-wool-foil", thickness_mm=40)


def layout(length_mm=2500, **more):
    given = {
        "services": {"H": SERVICE},
        "nodes": {"n1": Node(0, 0, 0), "n2": Node(length_mm, 0, 0)},
        "legs": {"l1": Leg("n1", "n2", "H", "steel DN50")},
    }
    return Layout(**given | more)


def bent(**more):
    nodes = {"n1": Node(0, 0, 0), "n2": Node(2000, 0, 0), "n3": Node(2000, 2000, 0)}
    legs = {"l1": Leg("n1", "n2", "H", "steel DN50", area="A"), "l2": Leg("n2", "n3", "H", "steel DN50", area="B")}
    return layout(nodes=nodes, legs=legs, **more)


def estimated(book, *layouts):
    return estimate_job([Source(f"{chr(97 + n)}.layout.json", "", one) for n, one in enumerate(layouts)], book)


def lines(estimate):
    return {(line.what, line.cause, line.area): (line.quantity, line.amount) for line in estimate.cost.lines}


def test_one_pipe_by_hand(book):
    """2.5 m: 3 sections, 2 joints of pi x 140 + 50 mm of tape, 2 end seals; minutes: 2.5 + 2 + 2."""
    estimate = estimated(book, layout())
    found = lines(estimate)
    assert found["Sections stone-wool-foil 60x40", "length", ""] == (Decimal("2.5"), pence("25.00"))
    assert found["Sections stone-wool-foil 60x40, offcuts", "offcut", ""] == (Decimal("0.5"), pence("5.00"))
    assert found["Foil tape 75 mm", "joint", ""] == (Decimal("0.980"), pence("0.39"))
    assert found["Foil tape, rest of the last roll", "other", ""] == (Decimal("49.020"), pence("19.61"))
    assert found["End seal", "joint", ""] == (2, pence("2.00"))
    assert found["Labour, laying sections", "labour", ""] == (Decimal("0.042"), pence("2.52"))
    assert estimate.cost.net == pence("25.00") + 5 + pence("20.00") + 2 + pence("2.52") + pence("1.98") + pence("1.98")
    assert estimate.cost.vat == book.money(estimate.cost.net / 5)
    assert estimate.cost.total == estimate.cost.net + estimate.cost.vat


def test_bends_take_their_share_of_sections_by_area(book):
    """DN50 with 40 mm has two mitres and one piece between them; that piece and all wedges are caused by the bend."""
    estimate = estimated(book, bent())
    found = lines(estimate)
    bend = sum(quantity for (what, *_), (quantity, _) in found.items() if what.endswith("60x40, bends"))
    wedge_mm = sum(cut.wedge_mm for stock in estimate.stocks for cut in stock.plan.sections)
    assert bend == Decimal(63 + wedge_mm) / 1000
    assert found["Sections stone-wool-foil 60x40", "length", "A"][0] == Decimal("1.956")
    assert found["Sections stone-wool-foil 60x40", "length", "B"][0] == Decimal("1.956")


def test_preformed_bend_costs_an_elbow_cover(book):
    estimate = estimated(book, bent(fittings={"n2": FittingChoice(cover="preformed")}))
    assert lines(estimate)["Elbow cover", "bend", "A"] == (1, pence("7.00"))


def test_jacket_and_insert(book):
    items = {"v1": Item("l1", 1000, length_mm=200), "s1": Item("l1", 2000, "support", 100, "insert")}
    found = lines(estimated(book, layout(items=items)))
    assert found["Jacket", "item", ""] == (1, pence("30.00"))
    assert found["Support insert", "item", ""] == (1, pence("4.00"))


def test_breakage_and_cartons_are_lines_of_their_own(book):
    sizes = {KEY: replace(book.sections[KEY], whole_cartons=True)}
    book = replace(book, breakage_percent=Decimal(2), sections=MappingProxyType(sizes))
    found = lines(estimated(book, layout()))
    assert found["Breakage, sections stone-wool-foil 60x40", "other", ""] == (1, pence("10.00"))
    assert found["To fill cartons, sections stone-wool-foil 60x40", "other", ""] == (2, pence("20.00"))


def test_percentages_are_of_what_stands_above_them(book):
    book = replace(book, contingency_percent=Decimal(10), margin_percent=Decimal(10))
    plain = estimated(replace(book, contingency_percent=Decimal(0), margin_percent=Decimal(0)), layout()).cost.net
    found = lines(estimated(book, layout()))
    contingency = found["Contingency", "other", ""][1]
    assert contingency == book.money(plain / 10)
    assert found["Margin", "other", ""][1] == book.money((plain + contingency) / 10)


def test_access_adds_its_share_of_the_hours(book):
    legs = {"l1": Leg("n1", "n2", "H", "steel DN50", access="ladder")}
    plain, slow = estimated(book, layout()).cost, estimated(book, layout(legs=legs)).cost
    extra = next(line for line in slow.lines if line.what == "Access, ladder")
    assert extra.quantity == (Decimal("6.5") / 60 * Decimal("0.15")).quantize(Decimal("0.001"))
    assert slow.hours == plain.hours + extra.quantity


def test_own_lines_delivery_and_disposal(book):
    book = replace(
        book,
        delivery=pence("35.00"),
        waste_disposal_per_m3=pence("48.00"),
        least_offcut_mm=600,
        extras=(ExtraLine("Site visit", Decimal(2), "nr", pence("90.00")),),
    )
    found = lines(estimated(book, layout()))
    assert found["Site visit", "other", ""] == (2, pence("180.00"))
    assert found["Delivery", "other", ""] == (1, pence("35.00"))
    # pi/4 x (0.14^2 - 0.06^2) x 0.5 m = 0.006 m3: the offcut is shorter than what this book keeps
    assert found["Disposal of offcuts and scrap", "offcut", ""] == (Decimal("0.006"), pence("0.29"))


def test_van_stock_is_used_first_and_costs_its_value(book):
    book = replace(book, stock=(VanOffcut(*KEY, 600, 1, pence("0.50")),))
    estimate = estimated(book, layout())
    assert lines(estimate)["Offcut from the van, stone-wool-foil 60x40, 600 mm", "length", ""] == (1, pence("0.50"))
    (stock,) = estimate.stocks
    assert stock.plan.bought == 2
    assert estimate.complete


def test_the_seam_is_taped_where_the_book_says_so(book):
    found = lines(estimated(replace(book, tape_the_seam=True), layout()))
    assert found["Foil tape 75 mm", "length", ""] == (Decimal("2.5"), pence("1.00"))


@pytest.mark.parametrize(
    ("changes", "key", "do"),
    [
        (
            {"sections": MappingProxyType({KEY: SectionSize(*KEY, 1000, None, None, whole_cartons=False)})},
            "sections stone-wool-foil 60x40",
            "Fill in the price in sections.csv: stone-wool-foil,60,40,1000,<price>,,no",
        ),
        ({"sundries": ()}, "tape", "Add to sundries.csv: tape,,,<width in mm>,<roll in m>,<price of a roll>"),
        (
            {"labour": ()},
            "the labour of a section-metre up to 60.3 mm",
            "Add to labour.csv: section-metre,60.3,<minutes>",
        ),
        ({"labour_rate_per_hour": None}, "an hour of labour", 'Add to book.toml: labour_rate_per_hour = "<rate>"'),
        ({"access": MappingProxyType({})}, "the access 'ladder'", "Add to access.csv: ladder,<factor>"),
    ],
)
def test_a_missing_price_leaves_the_totals_open(book, changes, key, do):
    legs = {"l1": Leg("n1", "n2", "H", "steel DN50", access="ladder")}
    estimate = estimated(replace(book, **changes), layout(legs=legs))
    told = [(snag.says, snag.do) for snag in estimate.snags if snag.code == "missing-price"]
    assert (f"The price book has no price for {key}.", do) in told
    assert not estimate.complete
    assert (estimate.cost.net, estimate.cost.vat, estimate.cost.total) == (None, None, None)
    assert estimate.cost.known == sum(line.amount for line in estimate.cost.lines)


def test_an_empty_price_is_to_be_filled_in_where_it_stands(book):
    sundries = tuple(replace(row, price=None) for row in book.sundries)
    items = {"v1": Item("l1", 1000, length_mm=200)}
    estimate = estimated(replace(book, sundries=sundries), layout(items=items))
    assert {snag.do for snag in estimate.snags} == {
        "Fill in the price in sundries.csv: end-seal,,,,,<price>",
        "Fill in the price in sundries.csv: jacket,,,,,<price>",
        "Fill in the price in sundries.csv: tape,,,75,50,<price of a roll>",
    }


def test_a_missing_section_price_names_every_leg(book):
    sizes = {KEY: SectionSize(*KEY, 1000, None, None, whole_cartons=False)}
    (snag,) = estimated(replace(book, sections=MappingProxyType(sizes)), bent()).snags
    assert snag.where == ("l1", "l2")


def test_splitting_money_leaves_a_line_for_its_rounding(book):
    """0.3, 0.3 and 0.4 of 10.05 are 3.02, 3.02 and 4.02, in all 10.06; the merchant is paid 10.05."""
    sizes = {KEY: replace(book.sections[KEY], price=pence("10.05"))}
    nodes = {f"n{n}": Node(x, 0, 0) for n, x in enumerate((0, 300, 600, 1000))}
    legs = {f"l{n}": Leg(f"n{n}", f"n{n + 1}", "H", "steel DN50", area="ABC"[n]) for n in range(3)}
    found = lines(estimated(replace(book, sections=MappingProxyType(sizes)), layout(nodes=nodes, legs=legs)))
    split = [amount for (what, *_), (_, amount) in found.items() if what.startswith("Sections stone-wool-foil 60x40")]
    assert sum(split) == pence("10.05")
    rounding = found["Sections stone-wool-foil 60x40, rounding of split lines", "other", ""]
    assert rounding == (1, pence("-0.01"))


def test_layouts_of_one_job_share_sections_and_their_ids_are_told_apart(book):
    one = layout(1400)
    job = estimated(book, one, one, replace(one, times=2))
    assert [copy.prefix for copy in job.copies] == ["a:", "b:", "c:", "c#2:"]
    # 4 x 1.4 m: apart they take 8 sections, together 6 (priced: each joint costs 0.20 + 1.00)
    assert sum(stock.plan.bought for stock in job.stocks) == 6
    assert {placed.named.name for stock in job.stocks for placed in stock.placed} == {
        "a:s1.1",
        "b:s1.1",
        "c:s1.1",
        "c#2:s1.1",
    }


def test_layouts_of_one_job_must_be_cut_alike(book):
    from layoutest.errors import UsageError

    with pytest.raises(UsageError) as told:
        estimated(book, layout(), layout(settings=Settings(kerf_mm=3)))
    assert str(told.value) == (
        "b.layout.json: settings.kerf_mm: 3 stands here, and 0 in a.layout.json\n"
        "Layouts of one job are cut from the same sections: make these the same."
    )


def test_a_cold_stock_keeps_its_joints_few(book):
    cold = replace(SERVICE, fluid_c=6)
    estimate = estimated(book, layout(services={"H": cold}))
    assert [stock.plan.problem.rule for stock in estimate.stocks] == ["fewest"]
    assert [stock.plan.problem.rule for stock in estimated(book, layout()).stocks] == ["priced"]
