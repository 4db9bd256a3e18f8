"""Products: a quality control with the limits of the thread and the readings over wires."""

from __future__ import annotations

from typing import Any

from trytond.exceptions import UserError
from trytond.model import ModelView
from trytond.pool import Pool, PoolMeta

from .service import THREAD_KEYS, ask, keys_of

AT_THE_END_OF_PRODUCTION = "production:do"


class Product(metaclass=PoolMeta):
    """A product whose thread can be controlled."""

    __name__ = "product.product"

    @classmethod
    def __setup__(cls) -> None:
        super().__setup__()
        cls._buttons.update({"control_thread": {}})

    @classmethod
    @ModelView.button
    def control_thread(cls, products: list[Any]) -> None:
        """Make the control of a product's thread, or bring its tolerances up to date."""
        Control = Pool().get("quality.control")  # noqa: N806 - a class, as the ERP writes it
        controls = []
        for product in products:
            keys = {k: v for k, v in keys_of(product).items() if k in THREAD_KEYS}
            if not keys:
                raise UserError(f"{product.rec_name} has no attribute tw_designation.")
            found = Control.search(
                [("product", "=", product.id), ("name", "like", "Thread %")], limit=1
            )
            control = found[0] if found else Control(product=product, frequency=1)
            control.name = f"Thread {keys['designation']}"
            control.operations = [AT_THE_END_OF_PRODUCTION]
            control.points = product.thread_points(keys, control)
            controls.append(control)
        Control.save(controls)

    def thread_points(self, keys: dict[str, Any], control: Any) -> list[Any]:
        """One point for each size that has limits, and one for the reading."""
        limits = ask("thread-limits", keys)
        wires = ask("wire-measurement", keys)["result"]
        unit = limits["unit"]
        sizes = {
            name: (name.replace("_", " ").capitalize() + f" ({unit})", size)
            for name, size in limits["result"]["limits"].items()
        }
        sizes["reading"] = (
            f"Reading, {wires['method']}, {wires['wire_diameter']} {unit} ({unit})",
            wires["reading"],
        )
        Point = Pool().get("quality.control.point")  # noqa: N806
        present = {point.name: point for point in getattr(control, "points", ()) or ()}
        points = []
        for name, (label, size) in sizes.items():
            if size["min"] is None and size["max"] is None:
                continue
            point = present.pop(name, None) or Point(name=name, type_="float")
            point.string = label
            point.tolerance_lower, point.tolerance_upper = size["min"], size["max"]
            points.append(point)
        return [*points, *present.values()]  # points of the user's own stay
