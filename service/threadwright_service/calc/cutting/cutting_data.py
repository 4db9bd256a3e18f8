"""Cutting data for one case: start or reference, scaled, limited, with its mechanics."""

from __future__ import annotations

from dataclasses import dataclass

from threadwright_service.calc.cutting.back_calculation import running_speed_and_feed
from threadwright_service.calc.cutting.case import (
    CuttingTool,
    Engagement,
    Reference,
    Running,
    Wanted,
)
from threadwright_service.calc.cutting.case_cautions import warn
from threadwright_service.calc.cutting.compliance import tool_compliance_um_per_n
from threadwright_service.calc.cutting.condition import Chosen, chosen_condition
from threadwright_service.calc.cutting.known import Known, known_condition
from threadwright_service.calc.cutting.limits import Limited, Limits, deflection_mm, within_limits
from threadwright_service.calc.cutting.material import WorkMaterial
from threadwright_service.calc.cutting.operations.arc import straight_arc
from threadwright_service.calc.cutting.operations.load import Cut, CutLoad, OperationMechanics
from threadwright_service.calc.cutting.operations.mechanics import mechanics_of
from threadwright_service.calc.cutting.power import POWER, TORQUE
from threadwright_service.calc.cutting.ranges import check_condition
from threadwright_service.calc.cutting.result import CuttingData
from threadwright_service.calc.cutting.scaling import LIFE_RANGE_RATIO
from threadwright_service.calc.cutting.speed_and_feed import CENTRE_FEED, surface_speed_m_per_min
from threadwright_service.calc.cutting.starting_values import (
    MILLING,
    CuttingCondition,
    Operation,
    starting_condition,
)
from threadwright_service.calc.cutting.tool_life import (
    LifeExponents,
    coolant_ratio,
    life_band,
    life_exponents,
)
from threadwright_service.calc.cutting.tool_life import tool_life_min as life_of
from threadwright_service.calc.errors import CalcError, InfeasibleError, MissingInputError
from threadwright_service.calc.milling.geometry.cutter import Machine
from threadwright_service.calc.trail import Formula, Trail

FEED_RATE = Formula(
    "feed rate at the made diameter",
    "vf_edge",
    "n * f",
    "n f",
    unit="mm/min",
    source="definition; f feed of a revolution",
)


def cutting_data(
    *,
    material: WorkMaterial,
    operation: Operation,
    tool: CuttingTool,
    engagement: Engagement,
    reference: Reference | None = None,
    running: Running | None = None,
    machine: Machine | None = None,
    wanted: Wanted | None = None,
    trail: Trail | None = None,
) -> CuttingData:
    """Cutting data for one case.

    Parameters
    ----------
    material : WorkMaterial
        As :func:`.materials.find_material` gives it.
    operation : Operation
        What is done.
    tool : CuttingTool
        With what.
    engagement : Engagement
        How it meets the work.
    reference : Reference, optional
        A known-good condition; speed and feed are scaled from it instead of starting values.
    running : Running, optional
        A condition that runs; everything is worked back from it and nothing is scaled or limited.
    machine : Machine, optional
        Limits of the machine.
    wanted : Wanted, optional
        What the caller fixes: speed and feed are then taken as they are, and only the limits of
        machine and deflection lower them.
    trail : Trail, optional
        Takes assumptions, cautions and working.

    Raises
    ------
    MissingInputError
        If a length that chip or force follow from is missing.
    OutOfRangeError
        If a number is outside its range, or the edge does not cut the material and the caller
        gives no speed and feed of his own.
    InfeasibleError
        If the cutter does not go into the hole, or a condition that runs and a wanted one are both
        to be kept. A reference beside what runs tells the life that it is measured by.
    UnknownDesignationError
        If the operation is not known.

    Notes
    -----
    Source: the modules of this package; each factor and each step of the working names its own.
    """
    wanted, machine = wanted or Wanted(), machine or Machine()
    check_condition(reference, running, wanted, machine)
    _refuse_contradictions(wanted, running, reference)
    cut = Cut(tool=tool, engagement=engagement, material=material)
    mechanics = mechanics_of(operation, cut, trail)
    start = _start(operation, cut, mechanics, (reference, running, wanted), trail)
    tool_um_per_n = tool_compliance_um_per_n(tool=tool, trail=trail)
    if wanted.deflection_limit_mm is not None and tool_um_per_n is None:
        raise MissingInputError(
            "the bending that is to be kept follows from the tool's stick-out, which is missing",
            parameter="cutter_stick_out",
            accepted="a length above zero, or no deflection_limit",
        )
    case = _Case(
        operation=operation,
        cut=cut,
        mechanics=mechanics,
        start=start,
        known=known_condition(
            operation=operation,
            cut=cut,
            mechanics=mechanics,
            start=start,
            reference=reference,
            trail=trail,
        ),
        exponents=_exponents(cut),
        reference=reference,
        running=running,
        wanted=wanted,
        machine=machine,
        compliance_um_per_n=None
        if tool_um_per_n is None
        else tool_um_per_n + machine.holder_compliance_um_per_n,
        trail=trail,
    )
    chosen = case.chosen()
    data = case.data(chosen, case.limited(chosen))
    if trail is not None:
        if wanted.coolant is None and case.known is not None:
            trail.assume("coolant", case.known.coolant, "none given; the tool life stands for it")
        warn(data=data, cut=cut, machine=machine, running=running, trail=trail)
    return data


@dataclass(frozen=True, slots=True, kw_only=True)
class _Case:
    """All that one case is made of, so that its steps need not hand it on one by one."""

    operation: Operation
    cut: Cut
    mechanics: OperationMechanics
    start: CuttingCondition | None
    known: Known | None
    exponents: LifeExponents | None
    reference: Reference | None
    running: Running | None
    wanted: Wanted
    machine: Machine
    compliance_um_per_n: float | None
    trail: Trail | None

    def chosen(self) -> Chosen:
        """Speed and feed before the limits."""
        if self.running is None:
            return chosen_condition(
                operation=self.operation,
                cut=self.cut,
                mechanics=self.mechanics,
                known=self.known,
                wanted=self.wanted,
                exponents=self.exponents,
                trail=self.trail,
            )
        speed, feed_mm = running_speed_and_feed(
            running=self.running, tool=self.cut.tool, mechanics=self.mechanics, trail=self.trail
        )
        return Chosen(
            surface_speed_m_per_min=speed,
            feed_per_tooth_mm=feed_mm,
            factors=(),
            basis="worked back from the condition that runs",
        )

    def limited(self, chosen: Chosen) -> Limited:
        """Speed and feed within the limits; what runs is left as it is."""
        if self.running is not None:
            return Limited(
                spindle_speed_rev_per_min=self.running.spindle_speed_rev_per_min,
                feed_per_tooth_mm=chosen.feed_per_tooth_mm,
                bound=(),
            )
        return within_limits(
            cut=self.cut,
            mechanics=self.mechanics,
            surface_speed=chosen.surface_speed_m_per_min,
            feed_mm=chosen.feed_per_tooth_mm,
            limits=Limits(
                machine=self.machine,
                chip_thickness_allowed_mm=self._chip_allowed_mm(),
                deflection_limit_mm=self.wanted.deflection_limit_mm,
                compliance_um_per_n=self.compliance_um_per_n,
            ),
            trail=self.trail,
        )

    def data(self, chosen: Chosen, limited: Limited) -> CuttingData:
        """The result at the limited speed and feed."""
        trail, start, tool = self.trail, self.start, self.cut.tool
        speed, feed_mm = limited.spindle_speed_rev_per_min, limited.feed_per_tooth_mm
        vc = surface_speed_m_per_min(
            spindle_speed_rev_per_min=speed, diameter_mm=tool.diameter_mm, trail=trail
        )
        load = self.mechanics.load(feed_mm, trail)
        revolution_mm = self.mechanics.feed_per_revolution_mm(feed_mm)
        edge = FEED_RATE(trail, speed, revolution_mm)
        life_min = self._life_min(vc, load, feed_mm)
        return CuttingData(
            operation=self.operation,
            material=self.cut.material,
            basis=chosen.basis,
            surface_speed_m_per_min=vc,
            spindle_speed_rev_per_min=speed,
            feed_per_tooth_mm=revolution_mm / tool.teeth,
            feed_per_revolution_mm=revolution_mm,
            feed_edge_mm_per_min=edge,
            feed_centre_mm_per_min=CENTRE_FEED(trail, edge, self.mechanics.centre_feed_ratio),
            feed_centre_equal_chip_mm_per_min=self._equal_chip_feed(edge),
            engagement_angle_deg=load.engagement_angle_deg,
            chip_thickness_mean_mm=load.chip_thickness_mean_mm,
            chip_thickness_max_mm=load.chip_thickness_max_mm,
            chip_thickness_allowed_mm=None if start is None else start.chip_thickness_allowed_mm,
            chip_thickness_min_mm=None if start is None else start.chip_thickness_min_mm,
            tangential_force_n=load.tangential_force_n,
            tangential_force_mean_n=load.tangential_force_mean_n,
            radial_force_n=load.radial_force_n,
            edge_force_n=load.edge_length_mm * self.cut.material.edge_force_n_per_mm,
            torque_nm=TORQUE(trail, load.tangential_force_mean_n, tool.diameter_mm),
            power_kw=POWER(trail, load.tangential_force_mean_n, vc),
            deflection_mm=self._deflection_mm(load),
            tool_life_min=life_min,
            tool_life_band=None
            if life_min is None or self.exponents is None
            else life_band(life_min=life_min, exponents=self.exponents),
            tool_life_extrapolated=self._life_is_far(life_min),
            start=start,
            factors=chosen.factors,
            limited_by=limited.limited_by,
            limits=tuple(name for name, _ in limited.bound),
        )

    def _chip_allowed_mm(self) -> float | None:
        """Largest chip; a chip that the caller's own data make is cautioned and not cut."""
        own = self.wanted.feed_per_tooth_mm is not None or (
            self.reference is not None and self.reference.feed_per_tooth_mm is not None
        )
        return None if own or self.start is None else self.start.chip_thickness_allowed_mm

    def _deflection_mm(self, load: CutLoad) -> float | None:
        if self.compliance_um_per_n is None or self.operation not in MILLING:
            return None
        return deflection_mm(load=load, compliance_um_per_n=self.compliance_um_per_n)

    def _life_min(self, vc: float, load: CutLoad, feed_mm: float) -> float | None:
        point = None if self.known is None else self.known.life_point()
        if point is None or self.known is None or self.exponents is None:
            return None
        chip_mm = (
            load.chip_thickness_max_mm
            if self.mechanics.feed_is_the_lead
            else feed_mm * self.mechanics.chip_sine_ratio
        )
        if self.start is not None:
            # Below the smallest chip the edge rubs: thinner is no longer gentler.
            chip_mm = max(chip_mm, min(self.start.chip_thickness_min_mm, point.chip_thickness_mm))
        coolant_life_ratio = 1.0
        if self.wanted.coolant is not None:
            coolant_life_ratio = coolant_ratio(
                material=self.cut.material, coolant=self.wanted.coolant
            ) / coolant_ratio(material=self.cut.material, coolant=self.known.coolant)
        return life_of(
            known=point,
            surface_speed_m_per_min=vc,
            chip_thickness_mm=chip_mm,
            width_ratio=self.mechanics.width_ratio,
            exponents=self.exponents,
            coolant_life_ratio=coolant_life_ratio,
            trail=self.trail,
        )

    def _life_is_far(self, life_min: float | None) -> bool:
        known_min = None if self.known is None else self.known.tool_life_min
        if life_min is None or known_min is None:
            return False
        return not 1 / LIFE_RANGE_RATIO <= life_min / known_min <= LIFE_RANGE_RATIO

    def _equal_chip_feed(self, edge: float) -> float | None:
        """Feed of the centre whose chip is that of a straight cut of the same width [mm/min]."""
        engagement, sine_ratio = self.cut.engagement, self.mechanics.engagement_sine_ratio
        if sine_ratio is None or engagement.side is None:
            return None
        straight = straight_arc(
            radial_width_mm=min(engagement.radial_width_mm or 0.0, self.cut.tool.diameter_mm),
            diameter_mm=self.cut.tool.diameter_mm,
        )
        return edge * straight.sine_ratio / sine_ratio


def _start(
    operation: Operation,
    cut: Cut,
    mechanics: OperationMechanics,
    given: tuple[Reference | None, Running | None, Wanted],
    trail: Trail | None,
) -> CuttingCondition | None:
    """Starting values; ``None`` where ours do not reach and the caller brings his own."""
    reference, running, wanted = given
    fixed_feed = mechanics.feed_is_the_lead
    own = (
        running is not None
        or (
            wanted.surface_speed_m_per_min is not None
            and (fixed_feed or wanted.feed_per_tooth_mm is not None)
        )
        or (
            reference is not None
            and reference.surface_speed_m_per_min is not None
            and (fixed_feed or reference.feed_per_tooth_mm is not None)
        )
    )
    try:
        return starting_condition(
            material=cut.material,
            cutter_material=cut.tool.material,
            operation=operation,
            cutter_diameter_mm=cut.tool.diameter_mm,
            trail=None if own else trail,
        )
    except CalcError as refusal:
        if not own:
            raise
        if trail is not None:
            trail.caution(
                "no-data-of-ours",
                f"{refusal.detail}. Your own speed and feed are used; nothing here checks them.",
            )
        return None


def _exponents(cut: Cut) -> LifeExponents | None:
    try:
        return life_exponents(cutter_material=cut.tool.material, iso_513=cut.material.iso_513)
    except CalcError:
        # High-speed steel on hard steel has none; the caller's own data go without a life.
        return None


def _refuse_contradictions(
    wanted: Wanted, running: Running | None, reference: Reference | None
) -> None:
    fixed = wanted.surface_speed_m_per_min is not None or wanted.feed_per_tooth_mm is not None
    if running is not None and (fixed or wanted.tool_life_min is not None):
        raise InfeasibleError(
            "a condition that runs is worked back as it is; a wanted speed, feed or life beside "
            "it has no place",
            parameter="spindle_speed",
            value=running.spindle_speed_rev_per_min,
            accepted="either what runs, or what is wanted",
        )
    if reference is not None and (
        reference.surface_speed_m_per_min is None and reference.feed_per_tooth_mm is None
    ):
        raise InfeasibleError(
            "a reference without a speed and without a feed says nothing",
            parameter="reference_surface_speed",
            accepted="reference_surface_speed, reference_feed_per_tooth or both",
        )
