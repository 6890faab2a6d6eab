//! The keys of what is there on the first day.

use super::shared::{DATE, NAME, NAMES, VOLUME, YES_NO};
use super::{Kind, Map, Scalar, map, optional, required};

pub const STOCK: Map = map(&[
    required("beer", NAME, "The beer.", "Lantern Pale"),
    required("format", NAME, "The format.", "can case"),
    required("quantity", VOLUME, "How much.", "9 hL"),
    optional(
        "packaged_on",
        DATE,
        "When it was packaged; the day before the first where it is left out.",
        "2026-11-27",
    ),
    optional(
        "from",
        DATE,
        "The date from which it may be delivered; at once where it is left out.",
        "2026-12-10",
    ),
]);

pub const IN_TANK: Map = map(&[
    required("vessel", NAME, "The vessel.", "F1"),
    required("beer", NAME, "The beer.", "Lantern Pale"),
    required("filled", VOLUME, "Wort that was filled in; of a bright tank, the beer in it.", "20 hL"),
    required("on", DATE, "The day of the last turn; of a bright tank, of its fill.", "2026-11-26"),
    optional("ready", DATE, "The day on which it is ready, where the stay does not say so.", "2026-12-14"),
    optional("carbonated", YES_NO, "Whether it is carbonated already; beer in a bright tank is.", "yes"),
    optional(
        "done",
        NAMES,
        "Tank work that is done; where nothing is said, what was due before the first day.",
        "[dry hop]",
    ),
    optional(
        "done_on",
        Kind::Named(&DATE),
        "Tank work that is done, with its dates.",
        "{dry hop: 2026-12-05}",
    ),
    optional(
        "generation",
        Kind::One(Scalar::Whole(1, 50)),
        "The generation of its yeast, for cropping.",
        "4",
    ),
    optional("cropped", YES_NO, "Whether yeast was cropped from it already.", "no"),
]);

pub const SINCE_FULL: Map = map(&[
    required("vessel", NAME, "A vessel whose `clean` has `full`.", "B2"),
    required(
        "fills",
        Kind::One(Scalar::Whole(0, 1_000)),
        "Fills since its last full clean, the present one included.",
        "4",
    ),
    optional("last", NAME, "The beer that was in it last, where it is empty.", "Ferrypole Lager"),
]);

pub const IN_STORE: Map = map(&[
    required("yeast", NAME, "The strain.", "house ale"),
    required("generation", Kind::One(Scalar::Whole(1, 50)), "Its generation when it is pitched.", "3"),
    required("cropped", DATE, "When it was cropped.", "2026-12-04"),
    optional("pitches", Kind::One(Scalar::Whole(1, 100)), "How many pitches; one where it is left out.", "3"),
]);
