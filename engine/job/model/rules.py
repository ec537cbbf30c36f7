"""The limits a crew works to. Each default says where it comes from; a job file holds only those that differ."""

import tomllib
from functools import cache
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, model_validator

from engine.calc.units import FEET_INCHES, METRES, Units, in_units
from engine.job.model.base import AgainstItself, Feet, Inches, LongFeet, LongInches, Number, Part

CP = "common practice, no source"
MEM = "from memory"
ASKED_NO_MORE = ("eye_tolerance_in",)
"""Limits that nothing reads any more. A file that holds one keeps it, and its seal holds; no form asks for it."""
SoilClass = Literal["rock", "foliated rock", "gravel", "sand", "clay"]


class SurveyRules(Part):
    """How well each method measures, and how long a step is."""

    step_ft: Annotated[LongFeet, Field(ge=1, le=7, description=f"{CP}: a walking step is about 2 1/2 ft; calibrate on a taped 100 ft")] = (
        2.5
    )
    tape_sigma_ft: Annotated[LongFeet, Field(description=f"standard error of one tape in the field: {CP}")] = 0.05
    offset_sigma_ft: Annotated[LongFeet, Field(description=f"standard error of an offset squared by eye: {CP}")] = 0.15
    bearing_sigma_deg: Annotated[Number, Field(gt=0, le=45, description=f"standard error of a hand compass bearing: {CP}")] = 1.0
    paces_sigma_pct: Annotated[Number, Field(gt=0, le=100, description=f"standard error of pacing in percent: {CP}")] = 3.0
    precision_min: Annotated[Number, Field(gt=0, description=f"a traverse worse than 1 in this is looked at again: {CP}")] = 500.0
    misfit: Annotated[
        Number,
        Field(gt=1, le=20, description="a shot whose residual passes this many standard errors doesn't fit: common practice of adjustment"),
    ] = 3.0


class LayoutRules(Part):
    """Bays, grid, trees and clearances."""

    bay_max_ft: Annotated[LongFeet, Field(description=f"{CP}: sleeves stand 20 to 25 ft apart")] = 25.0
    bay_min_ft: Annotated[Feet, Field(description=f"{CP}: two supports nearer than this waste a post")] = 4.0
    grid_in: Annotated[LongInches, Field(description=f"{CP}: stations are set out on this grid")] = 3.0
    tree_min_in: Annotated[LongInches, Field(description=f"{CP}: a tree at least 6 in through carries the cables")] = 6.0
    tree_reach_ft: Annotated[Feet, Field(description=f"{CP}: how far off the line a tree may stand and still be used")] = 1.0
    tree_bend_ft: Annotated[
        Feet, Field(description=f"{CP}: how far off the line a tree may stand for the fence to bend to it where that saves a post")
    ] = 2.0
    tree_clear_ft: Annotated[Feet, Field(description=f"{CP}: nothing is driven nearer to a trunk than this, for its roots")] = 1.0
    trunk_gap_in: Annotated[Inches, Field(description=f"{CP}: a fence passes a trunk this far off, so that it doesn't rub")] = 6.0
    structure_clear_ft: Annotated[Feet, Field(description=f"{CP}: nothing is driven nearer to a footing than this")] = 0.5
    corner_deg: Annotated[Number, Field(gt=0, lt=180, description=f"{CP}: a turn this sharp needs a corner post with two braces")] = 45.0
    move_reach_ft: Annotated[LongFeet, Field(description=f"{CP}: a refused sleeve is moved 2 to 3 ft")] = 3.0


class PostRules(Part):
    """Driving and standing posts."""

    driven_share: Annotated[Number, Field(gt=0, le=1, description=f"{CP}: a sleeve goes in at least half its length")] = 0.5
    cap_in: Annotated[Inches, Field(le=6, description=f"{CP}: the top eye leaves 1/4 in for the cap")] = 0.25
    pull_days: Annotated[Number, Field(ge=0, description=f"{CP}: a sleeve less than about a week old pulls out, later it stays")] = 7.0
    eye_tolerance_in: Annotated[LongInches | None, Field(description="asked no more: no item reads how high an eye stands")] = None
    soil: Annotated[SoilClass, Field(description="soil class of IBC table 1806.2 that the lead judges the ground to be")] = "clay"
    soil_double: Annotated[bool, Field(description="IBC 1806.3.4: lateral bearing doubled where half an inch of movement does no harm")] = (
        True
    )


class CableRules(Part):
    """Tension, weather and loop lengths."""

    tension_lbf: Annotated[Number, Field(gt=0, le=1000, description=f"target tension of a hand-tightened cable: {MEM}")] = 50.0
    loop_min_ft: Annotated[LongFeet, Field(description=f"{CP}: loops are 40 to 60 ft long")] = 40.0
    loop_max_ft: Annotated[LongFeet, Field(description=f"{CP}: loops are 40 to 60 ft long")] = 60.0
    tail_in: Annotated[Inches, Field(description=f"{CP}: a few inches of tail, ringed back")] = 6.0
    grip_in: Annotated[Inches, Field(description=f"cable taken up by the lock and by pulling: {CP}")] = 12.0
    sag_tolerance_in: Annotated[LongInches, Field(description=f"how much more than the wanted sag passes: {CP}")] = 1.0
    pull_read: Annotated[
        Literal["sag", "hung weight"],
        Field(description="how a loop's pull is read: by the bare cable's sag, or its depth with a weight hung"),
    ] = "sag"
    hung_weight_lb: Annotated[Number, Field(ge=0.25, le=50, description=f"the weight hung from mid-span to read a pull by: {CP}")] = 2.0
    set_F: Annotated[Number, Field(ge=-60, le=140, description="temperature on the day the cables are pulled")] = 60.0
    cold_F: Annotated[Number, Field(ge=-80, le=140, description="coldest day to stand")] = 0.0
    hot_F: Annotated[Number, Field(ge=-80, le=160, description="hottest day to stand")] = 110.0
    safety_factor: Annotated[
        Number, Field(ge=1, le=20, description="guy lines 3 to 1: Alberta OHS Code Explanation Guide 292.1 (2009)")
    ] = 3.0
    lean_lbf: (
        Annotated[
            Number,
            Field(
                gt=0,
                le=2000,
                description="a lean on one cable at mid-bay; left out, what the yard's dogs weigh, twice that where one jumps",
            ),
        ]
        | None
    ) = None
    wind_mph: Annotated[Number, Field(ge=0, le=250, description="basic wind speed of the place; local code decides")] = 90.0
    exposure: Annotated[Literal["B", "C", "D"], Field(description="ASCE 7 exposure: B among houses and trees, C open, D shore")] = "B"
    ice_in: Annotated[
        Inches,
        Field(le=3, description="radial ice of freezing rain by the map that local code names, ASCE 7-16 from memory; 0 counts no ice"),
    ] = 0.0

    @property
    def set_outside(self) -> str:
        """How the day of setting lies outside the year, as fields of a file; empty where it doesn't. Old files that say so still open."""
        if self.set_F > self.hot_F:
            return "cables.set_F is over cables.hot_F"
        return "cables.set_F is under cables.cold_F" if self.set_F < self.cold_F else ""


class BraceRules(Part):
    """Where the brace foot goes."""

    foot_ft: Annotated[LongFeet, Field(description=f"wanted distance from post to brace foot: {CP}")] = 5.0
    foot_tolerance_in: Annotated[LongInches, Field(description=CP)] = 6.0
    band_below_eye_in: Annotated[Inches, Field(description=f"{CP}: the brace is banded to the post below the top eye")] = 6.0
    foot_depth_in: Annotated[Inches, Field(description=f"{CP}: the foot is driven a few inches")] = 6.0
    yield_share: Annotated[
        Number,
        Field(gt=0, le=1, description="share of yield an unbraced post may see: 0.66, allowable bending of ductile steel, from memory"),
    ] = 0.66


class FabricRules(Part):
    """Apron, laps, rings and ties."""

    apron_min_in: Annotated[Inches, Field(description=f"{CP}: a 6 to 12 in apron")] = 6.0
    apron_max_in: Annotated[LongInches, Field(description=f"{CP}: a 6 to 12 in apron")] = 12.0
    fold_in: Annotated[Inches, Field(le=12, description=f"turned over the bottom cable at the wire's top: {CP}")] = 0.0
    floor_gap_in: Annotated[Inches, Field(description=f"wire cut to a hard floor stands at most this far over it: {CP}")] = 1.0
    lap_in: Annotated[LongInches, Field(description=f"mesh laps the wire by at least: {CP}")] = 4.0
    overrun_in: Annotated[Inches, Field(description=f"{CP}: wire and mesh are cut a few inches over")] = 6.0
    ring_cable_ft: Annotated[LongFeet, Field(description=f"{CP}: wire to the bottom cable every 3 ft")] = 3.0
    ring_mesh_ft: Annotated[LongFeet, Field(description=f"{CP}: mesh to the top cable every 2 to 3 ft")] = 2.5
    ring_seam_ft: Annotated[LongFeet, Field(description=f"{CP}: mesh to wire every 3 ft")] = 3.0
    ring_splice_ft: Annotated[LongFeet, Field(description=f"up a splice and where two loops' fabric laps, every foot: {CP}")] = 1.0
    tie_corner_in: Annotated[LongInches, Field(description=f"{CP}: zip ties up every corner post")] = 12.0
    jump_reach_ft: Annotated[Feet, Field(description=f"{CP}: what a dog can stand on counts where it is this near to the fence")] = 6.0
    jump_up_ft: Annotated[LongFeet, Field(description=f"{CP}: the highest thing a dog gets up onto")] = 4.0
    spare_pct: Annotated[Number, Field(ge=0, le=100, description=f"spare rings, ties and stakes to load: {CP}")] = 10.0


class StakeRules(Part):
    """Stakes through the apron."""

    stake_max_ft: Annotated[LongFeet, Field(description=f"{CP}: every 3 to 4 ft")] = 4.0
    stake_close_ft: Annotated[LongFeet, Field(description=f"{CP}: closer at corners, ends, dips and gate posts")] = 2.0
    stake_length_in: Annotated[LongInches, Field(description=CP)] = 12.0


class GateRules(Part):
    """Openings, frames and gaps."""

    gap_in: Annotated[Inches, Field(le=24, description=f"{CP}: gate posts stand one leaf width plus 2 in apart")] = 2.0
    opening_tolerance_in: Annotated[LongInches, Field(description=CP)] = 0.5
    hinge_inset_in: Annotated[Inches, Field(description=f"{CP}: hinges and latches 12 in from top and bottom")] = 12.0
    bottom_gap_in: Annotated[Inches, Field(description=f"the leaf hangs this far over the ground: {CP}")] = 2.0
    bottom_gap_max_in: Annotated[LongInches, Field(description=f"a bottom gap over this lets a small dog out: {CP}")] = 3.0
    diagonal_tolerance_in: Annotated[LongInches, Field(description=f"the two diagonals agree within: {CP}")] = 0.25
    mower_width_in: Annotated[Inches, Field(description="the widest machine that must pass; 0 where none")] = 0.0
    leaf_weight_psf: (
        Annotated[Number, Field(gt=0, le=50, description="weight of a covered leaf per square foot; from the stock where left out")] | None
    ) = None
    ring_ft: Annotated[LongFeet, Field(description=f"fabric ringed round a leaf's frame, every foot: {CP}")] = 1.0
    corner_takeoff_in: Annotated[Inches, Field(description=f"what a corner fitting takes off a frame tube, each end: {MEM}")] = 1.0


class HourRules(Part):
    """How the time of ticks is read, and how long a day is."""

    pause_min: Annotated[
        Number, Field(ge=5, le=180, description=f"no wait up to this is a break; a longer one, where three times as long as usual: {CP}")
    ] = 20.0
    day_hours: Annotated[Number, Field(gt=0, le=24, description=f"hours a crew works in a day, Monday to Friday: {CP}")] = 8.0


class Rules(Part):
    """All limits of one job, by stage."""

    survey: SurveyRules = SurveyRules.model_construct()
    layout: LayoutRules = LayoutRules.model_construct()
    posts: PostRules = PostRules.model_construct()
    bracing: BraceRules = BraceRules.model_construct()
    cables: CableRules = CableRules.model_construct()
    fabric: FabricRules = FabricRules.model_construct()
    staking: StakeRules = StakeRules.model_construct()
    gate: GateRules = GateRules.model_construct()
    hours: HourRules = HourRules.model_construct()

    @model_validator(mode="after")
    def _ordered(self) -> "Rules":
        for low, high, words in (
            (self.layout.bay_min_ft, self.layout.bay_max_ft, "layout.bay_min_ft is over layout.bay_max_ft"),
            (self.cables.loop_min_ft, self.cables.loop_max_ft, "cables.loop_min_ft is over cables.loop_max_ft"),
            (self.cables.cold_F, self.cables.hot_F, "cables.cold_F is over cables.hot_F"),
            (self.fabric.apron_min_in, self.fabric.apron_max_in, "fabric.apron_min_in is over fabric.apron_max_in"),
        ):
            if low > high:
                raise AgainstItself(words.partition(" ")[0].partition(".")[2], words)
        return self


@cache
def first_rules(units: Units) -> Rules:
    """What a new job says of its limits: nothing in feet and inches, in metres round ones. They are written into its file, so that no limit
    changes with what lengths are shown in. Source: rules_metric.toml."""
    if units != METRES:
        return Rules()
    text = Path(__file__).with_name("rules_metric.toml").read_text(encoding="utf-8")
    with in_units(FEET_INCHES):
        return Rules.model_validate(tomllib.loads(text))
