//! A small valid pair of files (invented), for the tests of reading.

/// `cellar.yaml`
pub const CELLAR: &str = r#"cellar: Sample Quay
altitude: 20 m
brewhouse:
  turn: 20 hL
  first_turn: {takes: 7 h, crew: {brew: 7 h}}
  next_turn: {takes: 4 h, crew: {brew: 4 h}}
  turns_per_day: 2
  hours_per_day: 14 h
vessels:
  - names: [F1, F2]
    uses: [ferment, package]
    holds: 40 hL
    least: 18 hL
    rated: 200 kPa
    clean: {takes: 3 h, crew: {cellar: 1.5 h}}
  - names: [B1]
    uses: [bright]
    holds: 40 hL
    least: 16 hL
    rated: 300 kPa
    clean: {takes: 2 h, crew: {cellar: 1 h}}
    refill: next shift
    price: 42000
cleaning: {sets: 1}
cooling: {heat_a_day: 5 kWh}
sanitise: {takes: 45 min, crew: {cellar: 30 min}}
transfer: {takes: 3 h, crew: {cellar: 1.5 h}, loss: 40 L + 0.5 %}
carbonate: {takes: 6 h, crew: {cellar: 0.5 h}}
lines:
  - name: cans
    speed: 1800 L/h
    efficiency: 70 %
    people: 3
    start_up: 1.5 h
    clean_down: 1 h
    change: {beer: 45 min}
    loss: 80 L
    least_run: 5 hL
    feed: {pressure: 80 kPa, pump: allowed}
    never_after: [{beer: Pale, after: Stout}]
formats:
  - {name: can case, line: cans, contents: 24 x 440 mL, loss: 3 %}
"#;

/// `brewplan.yaml`
pub const BREWPLAN: &str = r#"brewplan: A week
cellar: cellar.yaml
starts: 2026-12-07
plan_for: 1 week
look_ahead: 5 weeks
aim: orders
calendar: {brew: mon-fri, cellar: mon-sat, package: mon-fri, closed: [2026-12-25]}
crew:
  - {name: brewers, people: 2, roles: [brew, cellar], hours: 7 h, days: mon-sat}
  - {name: packers, people: 3, roles: [package], hours: 7 h, overtime: {at_most: 1 h, cost: 20}}
beers:
  - name: Pale
    turns: [1, 2]
    stay: {ferment: 6 d, dry hop: 4 d, chill: 2 d}
    routes: [direct, bright]
    loss: {tank: 6 %, direct: 2 %}
    carbonation: {volumes: 2.5, at: 2 degC, during_chill: yes}
    contribution: {can case: 170}
  - name: Stout
    turns: 2
    stay: {ferment: 14 d}
    routes: bright
orders: orders.csv
stock:
  - {beer: Pale, format: can case, quantity: 3 hL}
in_tank:
  - {vessel: F1, beer: Pale, filled: 40 hL, on: 2026-11-27, ready: 2026-12-10}
dirty: [F2]
money: {labour: 32.50, missed_firm: 4, surplus: 50 %}
"#;

/// `orders.csv`
pub const ORDERS: &str = "beer,format,quantity,due,firm\n\
    Pale,can case,12 hL,2026-12-11,yes\n\
    Stout,can case,240 packages,2026-12-18,no\n";
