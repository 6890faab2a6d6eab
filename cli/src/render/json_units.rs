//! Units of JSON: every key names the unit of its number, so in other units both change as they are written.

use std::io::{Result, Write};

use cellarwright_model::measures::UnitSystem;
use serde_json::ser::{Formatter, PrettyFormatter};

use super::numbers::shown_volume;

/// What the number of a key is, by the key's end.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Measure {
    #[default]
    Other,
    /// `_hl`, to the millilitre.
    Volume,
    /// `_litres`.
    SmallVolume,
    /// `_kpa`, shown with one decimal.
    Pressure,
    /// `_m2`, shown with one decimal.
    Area,
    /// `_metres`.
    Altitude,
}

impl Measure {
    /// Of a key, and the key in other units.
    fn of(key: &str) -> (Self, Option<String>) {
        let ends = [
            ("_hl", Self::Volume, "_bbl"),
            ("_litres", Self::SmallVolume, "_gal"),
            ("_kpa", Self::Pressure, "_psi"),
            ("_m2", Self::Area, "_sqft"),
            ("_metres", Self::Altitude, "_ft"),
        ];
        for (end, measure, other) in ends {
            if let Some(start) = key.strip_suffix(end) {
                return (measure, Some(format!("{start}{other}")));
            }
        }
        (Self::Other, None)
    }
}

/// Writes as `to_string_pretty` does, in a system of units.
#[derive(Debug)]
pub struct InUnits {
    pretty: PrettyFormatter<'static>,
    units: UnitSystem,
    is_in_key: bool,
    measure: Measure,
}

impl InUnits {
    /// In a system of units.
    #[must_use]
    pub fn new(units: UnitSystem) -> Self {
        Self { pretty: PrettyFormatter::new(), units, is_in_key: false, measure: Measure::Other }
    }

    fn shown(&self, value: f64) -> f64 {
        let (units, small) = (self.units, |per: f64| (value * per).round() as i64);
        match (self.measure, units) {
            (Measure::Volume, _) => shown_volume(units, value, 5),
            (Measure::SmallVolume, UnitSystem::Us) => units.small_volume().number(small(1_000.0), 3),
            (Measure::Area, UnitSystem::Us) => units.area().number(small(10_000.0), 1),
            (Measure::Pressure, _) => units.pressure().number(small(1_000.0), 1),
            (Measure::Other | Measure::SmallVolume | Measure::Area | Measure::Altitude, _) => value,
        }
    }
}

impl Formatter for InUnits {
    fn write_f64<W: ?Sized + Write>(&mut self, writer: &mut W, value: f64) -> Result<()> {
        let value = self.shown(value);
        self.pretty.write_f64(writer, value)
    }

    fn write_i64<W: ?Sized + Write>(&mut self, writer: &mut W, value: i64) -> Result<()> {
        let is_other = self.measure == Measure::Altitude;
        let value = if is_other { self.units.altitude().counted(value, 0) } else { value };
        self.pretty.write_i64(writer, value)
    }

    fn write_string_fragment<W: ?Sized + Write>(&mut self, writer: &mut W, fragment: &str) -> Result<()> {
        if !self.is_in_key {
            return self.pretty.write_string_fragment(writer, fragment);
        }
        let (measure, in_others) = Measure::of(fragment);
        self.measure = measure;
        let is_other = self.units != UnitSystem::Metric;
        let key = in_others.as_deref().filter(|_| is_other).unwrap_or(fragment);
        self.pretty.write_string_fragment(writer, key)
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, writer: &mut W, first: bool) -> Result<()> {
        self.is_in_key = true;
        self.measure = Measure::Other;
        self.pretty.begin_object_key(writer, first)
    }

    fn end_object_key<W: ?Sized + Write>(&mut self, writer: &mut W) -> Result<()> {
        self.is_in_key = false;
        self.pretty.end_object_key(writer)
    }

    fn begin_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> Result<()> {
        self.pretty.begin_array(writer)
    }

    fn end_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> Result<()> {
        self.pretty.end_array(writer)
    }

    fn begin_array_value<W: ?Sized + Write>(&mut self, writer: &mut W, first: bool) -> Result<()> {
        self.pretty.begin_array_value(writer, first)
    }

    fn end_array_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> Result<()> {
        self.pretty.end_array_value(writer)
    }

    fn begin_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> Result<()> {
        self.pretty.begin_object(writer)
    }

    fn end_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> Result<()> {
        self.pretty.end_object(writer)
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> Result<()> {
        self.pretty.begin_object_value(writer)
    }

    fn end_object_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> Result<()> {
        self.pretty.end_object_value(writer)
    }
}

#[cfg(test)]
mod tests {
    use serde::Serialize;

    use super::super::json::{pretty, pretty_in};
    use super::*;

    #[derive(Serialize)]
    struct Row {
        packaged_hl: f64,
        rest_litres: Option<f64>,
        rated_kpa: f64,
        altitude_metres: i64,
        packages: i64,
        name: &'static str,
        days_hl: Vec<f64>,
    }

    const ROW: Row = Row {
        packaged_hl: 40.0,
        rest_litres: Some(5.0),
        rated_kpa: 200.0,
        altitude_metres: 1_609,
        packages: 3,
        name: "of_hl",
        days_hl: Vec::new(),
    };

    #[test]
    fn metric_is_written_as_ever() {
        assert_eq!(pretty_in(UnitSystem::Metric, &ROW).unwrap(), pretty(&ROW).unwrap());
    }

    #[test]
    fn keys_and_numbers_change_together_and_text_stays() {
        let row = Row { days_hl: vec![1.0, 2.0], ..ROW };
        let text = pretty_in(UnitSystem::Us, &row).unwrap();
        let read: serde_json::Value = serde_json::from_str(&text).unwrap();
        // 4000 L / 117.347765304; 5 L / 3.785411784; 200 / 6.894757293; 1609 / 0.3048; 100 and 200 L.
        let wanted = serde_json::json!({
            "packaged_bbl": 34.08672, "rest_gal": 1.321, "rated_psi": 29.0, "altitude_ft": 5279, "packages": 3, "name": "of_hl",
            "days_bbl": [0.85217, 1.70434],
        });
        assert_eq!(read, wanted, "{text}");
    }
}
