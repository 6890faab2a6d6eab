//! The numbers of each rule in a case.

use cellarwright_model::calendar::{Role, Weekdays};
use cellarwright_model::case::{Away, Case};
use cellarwright_model::measures::{LITRES_AN_HOUR, UnitSystem};
use cellarwright_model::rule::RuleId;
use cellarwright_model::units::{Minutes, Rate, Share};

use super::super::gather::{date, day_label};
use super::super::numbers::{grouped, pressure_in_both, rate};
use super::super::words::count;
use super::{beer, together, vessels};

/// A time in hours, or in minutes where it is short.
pub fn time(time: Minutes) -> String {
    if time.0 % 60 != 0 && time.0 < 60 {
        return format!("{} min", time.0);
    }
    let text = format!("{:.2}", time.hours());
    format!("{} h", text.trim_end_matches('0').trim_end_matches('.'))
}

/// A share in per cent.
pub fn percent(share: Share) -> String {
    let text = format!("{:.4}", share.as_fraction() * 100.0);
    format!("{} %", text.trim_end_matches('0').trim_end_matches('.'))
}

/// What a case says about a rule.
pub fn lines(rule: RuleId, case: &Case) -> Vec<String> {
    match rule {
        RuleId::OneBatch => beer::one_batch(case),
        RuleId::FillLevel => vessels::fill_level(case),
        RuleId::Turns => turns(case),
        RuleId::Ready => beer::ready(case),
        RuleId::Wait => beer::wait(case),
        RuleId::BrightRest => vessels::bright_rest(case),
        RuleId::Direct => vessels::direct(case),
        RuleId::Clean => vessels::clean(case),
        RuleId::Crew => crew(case),
        RuleId::Line => line(case),
        RuleId::Pressure => vessels::pressure(case),
        RuleId::Volume => beer::volume(case),
        RuleId::Orders => orders(case),
        RuleId::Start => start(case),
        RuleId::Outage => outages(case),
        RuleId::Pinned => pins(case),
        RuleId::TankWork => beer::tank_work(case),
        RuleId::Yeast => beer::yeast(case),
        RuleId::Serving => beer::serving(case),
        RuleId::Calendar => calendar(case),
        RuleId::Use => vessels::uses(case),
        RuleId::Stages => beer::stages(case),
        RuleId::Hours => hours(case),
        RuleId::Filter => vessels::filter(case),
        RuleId::Packages => packages(case),
        RuleId::WarmStore => beer::warm_store(case),
        RuleId::FullClean => vessels::full_clean(case),
    }
}

fn turns(case: &Case) -> Vec<String> {
    let house = &case.brewhouse;
    let mut lines = vec![
        format!("a turn gives {}", case.show_units.size(house.turn)),
        format!(
            "the first takes {}, each further one {}",
            time(house.first_turn.takes),
            time(house.next_turn.takes)
        ),
        format!("at most {} turns in {} a day", house.turns_per_day, time(house.hours_per_day)),
    ];
    for liquor in &house.liquor {
        lines.push(format!(
            "liquor: a tank of {}, {} a turn, {}",
            case.show_units.size(liquor.tank),
            case.show_units.size(liquor.per_turn),
            rate(case.show_units, liquor.makes)
        ));
    }
    let longer = case.beers.iter().filter(|beer| beer.brewing.longer.takes.0 > 0);
    lines
        .extend(longer.map(|beer| format!("{} takes {} longer", beer.name, time(beer.brewing.longer.takes))));
    lines
}

fn crew(case: &Case) -> Vec<String> {
    let mut lines = Vec::new();
    for crew in &case.crews {
        let roles: Vec<&str> = crew.roles.iter().map(|role| role.word()).collect();
        let roles = if crew.check_only { "checks".to_owned() } else { roles.join(", ") };
        let overtime = crew.overtime.map_or(String::new(), |overtime| {
            format!(", up to {} overtime at {} an hour", time(overtime.at_most), overtime.cost)
        });
        lines.push(format!(
            "{}: {} for {roles}, {} a shift, {}{overtime}",
            crew.name,
            people(crew.people),
            time(crew.working_hours()),
            days(crew.days)
        ));
    }
    lines.extend(together(
        case.lines
            .iter()
            .map(|line| (format!("line {}", line.name), format!("{} while it runs", people(line.people)))),
    ));
    lines
}

/// The speed of a line: litres an hour, or US barrels.
fn speed(units: UnitSystem, speed: Rate) -> String {
    match units {
        UnitSystem::Metric => format!("{} L/h", grouped(LITRES_AN_HOUR.number(speed.0, 0), 0)),
        UnitSystem::Us => rate(units, speed),
    }
}

fn line(case: &Case) -> Vec<String> {
    let lines = case.lines.iter().map(|line| {
        format!(
            "{}: {} x {}, start-up {}, clean-down {}, between beers {}, loss {}, smallest run {}, feed {}",
            line.name,
            speed(case.show_units, line.speed),
            percent(line.efficiency),
            time(line.start_up),
            time(line.clean_down),
            time(line.change_beer),
            case.show_units.size(line.loss),
            case.show_units.size(line.least_run),
            pressure_in_both(case.show_units, line.feed)
        )
    });
    let mut lines: Vec<String> = lines.collect();
    for line in &case.lines {
        for never in &line.never_after {
            let (beer, after) = (&case.beer(never.beer).name, &case.beer(never.after).name);
            lines.push(format!("{}: {beer} never after {after}", line.name));
        }
    }
    lines
}

fn orders(case: &Case) -> Vec<String> {
    let firm = case.orders.iter().filter(|order| order.firm).count();
    let mut lines = vec![
        format!("{} orders, {firm} of them firm", case.orders.len()),
        format!("deliveries: {}", days(case.calendar.deliver)),
    ];
    let released = case.beers.iter().filter(|beer| beer.release > 0);
    lines.extend(released.map(|beer| format!("{}: released {} d after packaging", beer.name, beer.release)));
    let fresh = case.beers.iter().filter_map(|beer| Some((beer, beer.fresh?)));
    lines
        .extend(fresh.map(|(beer, limit)| format!("{}: delivered within {limit} d of packaging", beer.name)));
    lines
}

fn start(case: &Case) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for tank in &case.in_tank {
        let (vessel, beer) = (&case.vessel(tank.vessel).name, &case.beer(tank.beer).name);
        lines.push(format!(
            "{vessel}: {} of {beer} since {}",
            case.show_units.size(tank.filled),
            date(case, tank.on)
        ));
    }
    if !case.dirty.is_empty() {
        let names: Vec<&str> = case.dirty.iter().map(|&id| case.vessel(id).name.as_str()).collect();
        lines.push(format!("dirty: {}", names.join(", ")));
    }
    lines
}

fn outages(case: &Case) -> Vec<String> {
    let lines = case.fixed.outages.iter().map(|outage| {
        let what = match outage.what {
            Away::Vessel(id) => case.vessel(id).name.clone(),
            Away::Line(id) => format!("line {}", case.line(id).name),
            Away::Brewhouse => "the brewhouse".to_owned(),
            Away::Filter(position) => case.filters[position].name.clone(),
            Away::KegWasher => "the keg washer".to_owned(),
        };
        let empty = if outage.must_be_empty { ", empty" } else { "" };
        let reason = if outage.reason.is_empty() { String::new() } else { format!(", {}", outage.reason) };
        let (first, last) = (day_label(case, outage.first_day), day_label(case, outage.last_day));
        let days = if first == last { first } else { format!("{first} to {last}") };
        format!("{what}: {days}{reason}{empty}")
    });
    lines.collect()
}

fn pins(case: &Case) -> Vec<String> {
    match case.fixed.pins.len() {
        0 => Vec::new(),
        number => vec![format!("pinned pieces of work: {number}")],
    }
}

fn calendar(case: &Case) -> Vec<String> {
    let calendar = &case.calendar;
    let mut lines: Vec<String> = Role::ALL
        .iter()
        .map(|&role| format!("{}: {}", role.word(), days(calendar.work[role as usize])))
        .collect();
    let shifts = calendar.shifts.iter().map(|shift| {
        let start = shift.starts.0;
        format!("shift {}: {:02}:{:02}, {}", shift.name, start / 60, start % 60, time(shift.hours))
    });
    lines.extend(shifts);
    if !calendar.closed.is_empty() {
        let dates: Vec<String> = calendar.closed.iter().map(ToString::to_string).collect();
        lines.push(format!("closed: {}", dates.join(", ")));
    }
    lines
}

fn hours(case: &Case) -> Vec<String> {
    if !case.clock_times {
        return Vec::new();
    }
    let sets = format!("cleaning sets: {}", case.cleaning_sets);
    let knock_out = format!("knock-out {}", time(case.brewhouse.knock_out));
    vec![
        "`clock_times: yes`: every piece of work begins at a minute of its shift".to_owned(),
        sets,
        knock_out,
    ]
}

fn packages(case: &Case) -> Vec<String> {
    let kegs = case
        .kegs
        .iter()
        .map(|pool| format!("{}: {} clean, {} dirty on the first day", pool.name, pool.clean, pool.dirty));
    let mut lines: Vec<String> = kegs.collect();
    lines.extend(case.keg_washer.map(|washer| format!("keg washer: {} an hour", washer.pace)));
    for material in &case.materials {
        let lead = material.lead.map_or(String::new(), |days| format!(", more {days} d after ordering"));
        lines.push(format!("{}: {} in stock{lead}", material.name, material.in_stock));
    }
    lines
}

/// So many people.
pub fn people(number: i64) -> String {
    count(usize::try_from(number).unwrap_or(0), "person", "people")
}

/// Days of the week in words.
pub fn days(days: Weekdays) -> String {
    const NAMES: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
    let all: Vec<&str> =
        NAMES.into_iter().zip(days.0).filter(|(_, is_day)| *is_day).map(|(name, _)| name).collect();
    if all.is_empty() { "no day".to_owned() } else { all.join(" ") }
}
