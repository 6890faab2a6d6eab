//! The keys of what is settled before the plan is made: outages, upkeep, pins.

use super::shared::{CREW, DATE, NAME, VOLUME, YES_NO};
use super::{Kind, Map, Scalar, optional, required, sometimes};

pub const OUTAGE: Map = Map {
    keys: &[
        optional("vessel", NAME, "The vessel that is away.", "B2"),
        optional("line", NAME, "The line that is away.", "kegs"),
        optional("brewhouse", YES_NO, "`yes`: the brewhouse is away.", "yes"),
        optional("filter", NAME, "The filter that is away.", "sheet filter"),
        optional("keg_washer", YES_NO, "`yes`: the keg washer is away.", "yes"),
        required("from", DATE, "The first day.", "2026-12-09"),
        optional("to", DATE, "The last day; the first where it is left out.", "2026-12-10"),
        optional("reason", NAME, "Why it is away.", "valve inspection"),
        optional("crew", CREW, "Person-time that it takes, by role.", "{cellar: 1 h}"),
        optional(
            "may_hold_beer",
            YES_NO,
            "Whether beer may stand in the vessel: in an outage where it is left out, in upkeep not.",
            "yes",
        ),
    ],
    one_of: &["vessel", "line", "brewhouse", "filter", "keg_washer"],
};

pub const PIN: Map = Map {
    keys: &[
        sometimes("brew", NAME, "A batch of this beer begins.", "Lantern Pale"),
        sometimes("transfer", NAME, "A transfer of this beer.", "Quillon Bitter"),
        sometimes("clean", NAME, "This vessel is cleaned.", "F3"),
        sometimes("package", NAME, "This beer is packaged.", "Lantern Pale"),
        sometimes("dump", NAME, "What is in this vessel is poured away.", "F2"),
        sometimes("crop", NAME, "Yeast is cropped from this vessel.", "F4"),
        sometimes("tank_work", NAME, "This piece of tank work is done on the `beer`.", "dry hop"),
        sometimes("leave", NAME, "This vessel is left alone `from` a date `to` another.", "F5"),
        sometimes("beer", NAME, "The beer of `tank_work`.", "Marrowtide IPA"),
        optional("on", DATE, "The day; any planned day where it is left out.", "2026-12-08"),
        optional("shift", NAME, "The shift; any where it is left out.", "early"),
        optional("vessel", NAME, "The vessel of `brew` or `tank_work`.", "F7"),
        optional("turns", Kind::One(Scalar::Whole(1, 12)), "Turns of `brew`.", "2"),
        optional("part_turn", VOLUME, "Wort of a `brew` of one smaller turn.", "10 hL"),
        sometimes(
            "from",
            Kind::Either(&[NAME, DATE]),
            "The vessel that a `transfer` or `package` takes from; the first day of `leave`.",
            "F2",
        ),
        optional(
            "to",
            Kind::Either(&[NAME, DATE]),
            "The vessel that a `transfer` fills; the last day of `leave`.",
            "B1",
        ),
        optional("volume", VOLUME, "The volume of `transfer` (as it leaves) or `package`.", "18 hL"),
        optional("format", NAME, "The format of `package`.", "keg"),
        optional("line", NAME, "The line of `package`.", "kegs"),
    ],
    one_of: &["brew", "transfer", "clean", "package", "dump", "crop", "tank_work", "leave"],
};
