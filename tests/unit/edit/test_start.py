from __future__ import annotations

from layoutest.edit.start import empty_layout, usual_services, with_service
from layoutest.layout.document import Layout


def test_a_sheet_begins_empty():
    assert empty_layout("elevation") == Layout(title="Untitled", view="elevation")


def test_a_usual_service_comes_with_the_first_leg_of_it():
    layout = with_service(Layout(), "CW", "nitrile-foam")
    assert layout.services == {"CW": usual_services("nitrile-foam")["CW"]}
    assert layout.services["CW"].covering == "nitrile-foam"
    assert with_service(layout, "CW", "stone-wool-foil") is layout


def test_no_service_is_made_up_for_another_id():
    layout = with_service(Layout(), "HF", None)
    assert with_service(layout, "steam", None) is layout
    assert with_service(with_service(Layout(), "HF", None), "HF", "other") == layout
