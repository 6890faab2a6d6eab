//! The keys of a list that stands in a table of its own.

use super::shared::NAME;
use super::{Kind, Map, Scalar, map, optional, required};

const FILE: super::Key = required(
    "file",
    Kind::One(Scalar::Path),
    "The CSV file or workbook (XLSX), beginning in the folder of this file.",
    "orders.xlsx",
);
const SHEET: super::Key =
    optional("sheet", NAME, "The sheet of the workbook; the first where it is left out.", "Orders");
const UNIT: super::Key = optional(
    "unit",
    Kind::One(Scalar::Word(&["hL", "L", "m3", "bbl", "gal", "packages"])),
    "The unit of quantities that have none in their cells.",
    "hL",
);
const DECIMAL: super::Key = optional(
    "decimal",
    Kind::One(Scalar::Word(&["point", "comma"])),
    "What stands before decimals in numbers that are text; a point where it is left out.",
    "comma",
);
const HEADERS: &str = "Headers of columns that are called otherwise than their keys; the table may then have other columns too.";

pub const ORDERS: Map = map(&[
    FILE,
    SHEET,
    optional(
        "columns",
        Kind::Map(&ORDER_COLUMNS),
        HEADERS,
        "{beer: Product, quantity: Amount, due: Delivery}",
    ),
    UNIT,
    DECIMAL,
]);

pub const STOCK: Map = map(&[
    FILE,
    SHEET,
    optional("columns", Kind::Map(&STOCK_COLUMNS), HEADERS, "{beer: Product, quantity: In store}"),
    UNIT,
    DECIMAL,
]);

pub const IN_TANK: Map = map(&[
    FILE,
    SHEET,
    optional("columns", Kind::Map(&TANK_COLUMNS), HEADERS, "{vessel: Tank, filled: Volume}"),
    UNIT,
    DECIMAL,
]);

const ORDER_COLUMNS: Map = map(&[
    optional("name", NAME, "Header of the names.", "Customer"),
    optional("beer", NAME, "Header of the beers.", "Product"),
    optional("format", NAME, "Header of the formats.", "Package"),
    optional("quantity", NAME, "Header of the quantities.", "Amount"),
    optional("due", NAME, "Header of the due dates.", "Delivery"),
    optional("firm", NAME, "Header of whether it is firm: yes or no.", "Firm"),
    optional("likely", NAME, "Header of how likely it is: per cent, or a part of one.", "Likely"),
    optional("whole", NAME, "Header of whether it is whole or nothing: yes or no.", "Whole"),
    optional("late", NAME, "Header of the days that it may be late.", "Days late"),
    optional("late_cost", NAME, "Header of what a hectolitre costs for each of these days.", "Late cost"),
    optional("fresh", NAME, "Header of the days from packaging to delivery at most.", "Fresh"),
]);

const STOCK_COLUMNS: Map = map(&[
    optional("beer", NAME, "Header of the beers.", "Product"),
    optional("format", NAME, "Header of the formats.", "Package"),
    optional("quantity", NAME, "Header of the quantities.", "In store"),
    optional("packaged_on", NAME, "Header of the dates of packaging.", "Packaged"),
    optional("from", NAME, "Header of the dates from which it may be delivered.", "Free from"),
]);

const TANK_COLUMNS: Map = map(&[
    optional("vessel", NAME, "Header of the vessels.", "Tank"),
    optional("beer", NAME, "Header of the beers.", "Product"),
    optional("filled", NAME, "Header of the volumes filled in.", "Volume"),
    optional("on", NAME, "Header of the days of the last turn, or of the fill.", "Brewed"),
    optional("ready", NAME, "Header of the days on which it is ready.", "Ready"),
    optional("carbonated", NAME, "Header of whether it is carbonated: yes or no.", "Carbonated"),
    optional("done", NAME, "Header of the tank work that is done, with semicolons between.", "Done"),
    optional("generation", NAME, "Header of the generations of the yeast.", "Generation"),
    optional("cropped", NAME, "Header of whether yeast was cropped: yes or no.", "Cropped"),
]);
