"""Routings: operation times and cost of a lot, from ``cycle-time``."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

from trytond.exceptions import UserError
from trytond.model import ModelView, fields
from trytond.modules.product import price_digits, round_price
from trytond.pool import Pool, PoolMeta

from .service import ask, keys_of


class Routing(metaclass=PoolMeta):
    """A routing whose steps can be worked out for a lot."""

    __name__ = "production.routing"

    lot_quantity = fields.Integer("Lot Quantity", help="Good parts in the lot that is costed.")
    work_center = fields.Many2One(
        "production.work.center",
        "Work Center",
        domain=[("cost_method", "=", "hour")],
        help="Where the thread is made; its cost price is the rate of a machine hour.",
    )
    cautions = fields.Text("Cautions", readonly=True)

    @classmethod
    def __setup__(cls) -> None:
        super().__setup__()
        cls._buttons.update({"fill_from_threadwright": {}})

    @classmethod
    @ModelView.button
    def fill_from_threadwright(cls, routings: list[Any]) -> None:
        """Put one step for each kind of work; steps entered by hand stay."""
        for routing in routings:
            answer = ask("cycle-time", routing.cycle_time_keys())
            routing.take_times(answer["result"])
            routing.cautions = "\n".join(each["detail"] for each in answer["cautions"])
        cls.save(routings)

    def cycle_time_keys(self) -> dict[str, Any]:
        """Keys of the product that the routing makes, of the lot and of the machine."""
        made = [output.product for bom in self.boms for output in bom.outputs]
        keys = next(filter(None, map(keys_of, made)), None)
        if keys is None:
            raise UserError(f"{self.rec_name} makes no product with an attribute tw_designation.")
        if not self.lot_quantity:
            raise UserError(f"{self.rec_name} has no lot quantity.")
        keys["quantity"] = self.lot_quantity
        if self.work_center and self.work_center.cost_price is not None:
            keys["machine_rate"] = float(self.work_center.cost_price)
        return keys

    def take_times(self, result: dict[str, Any]) -> None:
        """Set the steps from the breakdown of a lot, in its order."""
        steps = [step for step in self.steps if not step.is_worked_out]
        Step = Pool().get("production.routing.step")  # noqa: N806 - a class, as the ERP writes it
        for place, line in enumerate(result["breakdown"]):
            if not (line["time_min"] or line["cost"]):
                continue
            steps.append(
                Step(
                    operation=self._operation(line["name"]),
                    sequence=100 + 10 * place,
                    is_worked_out=True,
                    lot_time=dt.timedelta(minutes=line["time_min"]),
                    time_each=dt.timedelta(minutes=line["time_min"] / self.lot_quantity),
                    lot_cost=round_price(Decimal(str(line["cost"]))),
                )
            )
        self.steps = steps

    def _operation(self, name: str) -> Any:
        """The operation of that name at the routing's work center; made if there is none."""
        Operation = Pool().get("production.routing.operation")  # noqa: N806
        category = self.work_center.category if self.work_center else None
        found = Operation.search([("name", "=", name), ("work_center_category", "=", category)])
        if found:
            return found[0]
        operation = Operation(name=name, work_center_category=category)
        operation.save()
        return operation


class RoutingStep(metaclass=PoolMeta):
    """A step with its time and cost in the lot."""

    __name__ = "production.routing.step"

    is_worked_out = fields.Boolean("Worked out", readonly=True)
    lot_time = fields.TimeDelta("Lot Time", help="Time of the whole lot.")
    time_each = fields.TimeDelta("Time Each", help="Share of one part.")
    lot_cost = fields.Numeric("Lot Cost", digits=price_digits)
