"""What a user of the ERP does, by its own remote interface, in a database of this process.

Run by a Python that has the ERP: ``python tryton_scenario.py ADDRESS``. Prints what the ERP then
holds as JSON.
"""

from __future__ import annotations

import json
import sys
from decimal import Decimal
from typing import Any

from proteus import Model
from trytond import config
from trytond.exceptions import UserError
from trytond.modules.company.tests.tools import create_company
from trytond.tests.tools import activate_modules

ATTRIBUTES: tuple[tuple[str, str, Any], ...] = (
    ("tw_designation", "char", "M24x1.5-6g"),
    ("tw_unit", "char", "mm"),
    ("tw_thread_length", "float", 28.0),
    ("tw_shoulder_distance", "float", 4.0),
    ("tw_material", "char", "17-4 PH"),
    ("tw_hardness", "numeric", Decimal("42")),
    ("tw_hardness_scale", "char", "HRC"),
    ("tw_cutter_profile", "char", "single"),
    ("tw_cutter_diameter", "float", 16.0),
    ("tw_cutter_teeth", "integer", 5),
    ("tw_cutter_nose_flat", "float", 0.1),
    ("tw_cutter_neck_diameter", "float", 12.0),
    ("tw_cutter_neck_length", "float", 45.0),
    ("tw_cutter_shank_diameter", "float", 16.0),
    ("tw_cutter_stick_out", "float", 45.0),
    ("tw_spindle_speed_max", "integer", 8000),
    ("tw_spindle_power_kw", "float", 5.5),
    ("tw_acceleration_g", "float", 0.4),
    ("tw_setup_time_min", "float", 45.0),
    ("tw_load_time_s", "float", 90.0),
    ("tw_tool_cost", "numeric", Decimal("140")),
    ("tw_tool_life_min", "float", 90.0),
    ("finish", "char", "plain"),
)


def refused(act: Any) -> str:
    """What the ERP tells its user."""
    try:
        act()
    except UserError as error:
        return str(error.message)
    return ""


def main(address: str) -> None:
    """Set up, fill, inspect."""
    if not config.has_section("threadwright"):
        config.add_section("threadwright")
    config.set("threadwright", "url", address)
    activate_modules(["threadwright", "production"], create_company)
    told: dict[str, Any] = {}

    attribute_set = Model.get("product.attribute.set")(name="Threaded part")
    for name, kind, _ in ATTRIBUTES:
        attribute_set.attributes.new(name=name, string=name, type_=kind)
    attribute_set.save()

    (unit,) = Model.get("product.uom").find([("name", "=", "Unit")])
    template = Model.get("product.template")(
        name="Levelling screw", default_uom=unit, type="goods", producible=True,
        list_price=Decimal(90), attribute_set=attribute_set,
    )  # fmt: skip
    template.save()
    (product,) = template.products
    product.attributes = {name: value for name, _, value in ATTRIBUTES}
    product.save()

    bar = Model.get("product.template")(
        name="Bar", default_uom=unit, type="goods", list_price=Decimal(6)
    )
    bar.save()
    bom = Model.get("production.bom")(name="Levelling screw")
    bom.inputs.new(product=bar.products[0], quantity=1)
    bom.outputs.new(product=product, quantity=1)
    bom.save()

    category = Model.get("production.work.center.category")(name="Milling")
    category.save()
    center = Model.get("production.work.center")(
        name="Machining centre", category=category, cost_price=Decimal(65), cost_method="hour"
    )
    center.save()
    by_hand = Model.get("production.routing.operation")(name="Marking")
    by_hand.save()
    routing = Model.get("production.routing")(name="Levelling screw", work_center=center)
    routing.boms.append(bom)
    routing.steps.new(operation=by_hand)
    routing.save()

    told["no_quantity"] = refused(lambda: routing.click("fill_from_threadwright"))
    routing.lot_quantity = 18
    routing.save()
    routing.click("fill_from_threadwright")
    routing.click("fill_from_threadwright")  # a second time changes nothing
    routing.reload()
    told["steps"] = [
        {
            "name": step.operation.name,
            "category": step.operation.work_center_category
            and step.operation.work_center_category.name,
            "worked_out": bool(step.is_worked_out),
            "lot_min": step.lot_time.total_seconds() / 60 if step.lot_time else None,
            "each_min": step.time_each.total_seconds() / 60 if step.time_each else None,
            "cost": str(step.lot_cost) if step.lot_cost is not None else None,
        }
        for step in routing.steps
    ]
    told["cautions"] = routing.cautions

    product.click("control_thread")
    product.click("control_thread")
    Control = Model.get("quality.control")  # noqa: N806 - a class, as the ERP writes it
    controls = Control.find([])
    told["controls"] = len(controls)
    told["control"] = controls[0].name
    told["points"] = {
        point.name: [point.string, point.tolerance_lower, point.tolerance_upper]
        for point in controls[0].points
    }

    told["inspections"] = {}
    for name, reading in (("good", 24.21), ("large", 24.31), ("small", 24.13)):
        inspection = Model.get("quality.inspection")(control=controls[0])
        inspection.points = {"major_diameter": 23.85, "pitch_diameter": 22.92, "reading": reading}
        inspection.click("process")
        told["inspections"][name] = inspection.state

    product.attributes = {**product.attributes, "tw_designation": "M24x1,5-6g"}
    product.save()
    told["refused"] = refused(lambda: routing.click("fill_from_threadwright"))
    config.set("threadwright", "url", "http://127.0.0.1:9")
    told["down"] = refused(lambda: product.click("control_thread"))
    sys.stdout.write(json.dumps(told))


if __name__ == "__main__":
    main(sys.argv[1])
