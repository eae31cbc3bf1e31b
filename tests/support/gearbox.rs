//! A made-up gearbox of any size, as someone would type it: one pump and one line, banks of shift
//! valves with their solenoids, holes, balls, plates and clutches, and a lube gallery to each bank.
//!
//! Seeded, so that a number of banks and a seed always give the same text.

use std::collections::BTreeMap;

use crate::layered::Dice;

/// Clutches in a bank.
const CLUTCHES: usize = 4;
/// Banks that one gallery feeds, and galleries that one gallery feeds.
const BRANCHES: usize = 3;
/// States beside neutral. In each, one clutch of each of three banks is on.
const GEARS: usize = 6;

/// The circuit file of a gearbox with so many banks, some 90 parts each.
pub fn text(banks: usize, seed: u64) -> String {
    let mut dice = Dice::new(seed);
    let mut tables = Tables::default();
    tables.add(&supply(banks));
    for number in 0..banks {
        tables.add(&bank(number, banks, &mut dice));
        for place in 0..CLUTCHES {
            tables.add(&clutch(number, place, &mut dice));
        }
    }
    for gear in 1..=GEARS {
        tables.add(&state(gear, banks, &mut dice));
    }
    let title = format!("title = \"Made-up gearbox of {banks} banks, seed {seed}\"");
    tables.text(&(title + "\nlever = [\"N\", \"D\"]\n"))
}

/// What stands under each heading: TOML has each heading but once.
#[derive(Default)]
struct Tables(BTreeMap<String, String>);

impl Tables {
    fn add(&mut self, text: &str) {
        let mut table = None;
        for line in text.lines() {
            if line.starts_with('[') {
                table = Some(self.0.entry(line.to_owned()).or_default());
            } else if let Some(table) = &mut table {
                table.push_str(line);
                table.push('\n');
            }
        }
    }

    fn text(&self, top: &str) -> String {
        let tables = self
            .0
            .iter()
            .map(|(heading, lines)| format!("{heading}\n{lines}"));
        std::iter::once(top.to_owned()).chain(tables).collect()
    }
}

/// The solenoids of a bank are its clutches' own, so a state is spelt by what it applies.
fn state(gear: usize, banks: usize, dice: &mut Dice) -> String {
    let mut on: Vec<String> = (0..3)
        .map(|_| format!("{}-{}", dice.below(banks), dice.below(CLUTCHES)))
        .collect();
    on.sort();
    // Clutches of one bank shut each other out: the first of them has it.
    on.dedup_by_key(|clutch| clutch.split('-').next().unwrap_or_default().to_owned());
    let list = |what: &str| {
        let named = on.iter().map(|clutch| format!("\"{what}-{clutch}\""));
        named.collect::<Vec<_>>().join(", ")
    };
    let (solenoids, clutches) = (list("solenoid"), list("clutch"));
    format!("[state.gear-{gear}]\nlever = \"D\"\non = [{solenoids}]\napplies = [{clutches}]")
}

/// Pump, regulators, manual valve, converter, cooler; sized for so many banks.
fn supply(banks: usize) -> String {
    // What a bank lets go: four pilots at rest, three jets.
    let displacement = 20 + 24 * banks;
    let bore = |times: f64| (times * (banks as f64).sqrt()).max(8.0);
    let (wide, wider) = (bore(9.0), bore(14.0));
    format!(
        r#"
[oil]
box-oil = {{ viscosity = {{ "40 °C" = "34 cSt", "100 °C" = "7.1 cSt" }}, density = "850 kg/m³" }}
[casting]
valve-body = {{ passages = ["line", "drive", "pilot-raw", "pilot"] }}
case = {{ passages = ["suction", "converter-in", "cooler-in", "cooler-back", "lube-main"] }}
[filter]
suction-filter = {{ between = ["sump", "suction"], bore = "{wider:.1} mm" }}
pilot-screen = {{ between = ["line", "pilot-raw"], bore = "{wide:.1} mm" }}
[source.pump]
draws = "suction"
feeds = "line"
displacement = "{displacement} cm³/rev"
speed = "1500 rpm"
leakage = "2 L/min"
leaks-at = "14 bar"
worn-leakage = "9 L/min"
[regulator.main]
holds = "line"
at = "8.5 bar"
spills = ["converter-in", "sump"]
band = "0.8 bar"
bore = "{wide:.1} mm"
[regulator.pilot-reducer]
holds = "pilot"
reduces = "pilot-raw"
at = "5 bar"
band = "0.4 bar"
bore = "{wide:.1} mm"
[regulator.lube-regulator]
holds = "lube-main"
at = "2 bar"
spills = ["sump"]
band = "0.3 bar"
bore = "{wide:.1} mm"
[relief]
main-relief = {{ on = "line", to = "sump", at = "24 bar", rise = "3 bar", bore = "{wide:.1} mm" }}
[converter]
converter = {{ between = ["converter-in", "cooler-in"], bore = "{wide:.1} mm" }}
[cooler]
cooler = {{ between = ["cooler-in", "cooler-back"], bore = "{wide:.1} mm" }}
[port]
cooler-return = {{ between = ["cooler-back", "lube-main"], bore = "{wide:.1} mm", thickness = "20 mm" }}
[valve.manual]
bore = ["sump", "drive", "line", "sump"]
diameter = "16 mm"
clearance = "0.02 mm"
land = "5 mm"
opening = "{wide:.1} mm"
wear = "0.03 mm"
neutral = {{ joins = [["drive", "sump"]], otherwise = true }}
drive = {{ joins = [["line", "drive"]], when = "lever.D" }}
[tap]
line-tap = {{ at = "line" }}
lube-tap = {{ at = "lube-main" }}
[state.neutral]
lever = "N"
"#
    )
}

/// A bank: galleries off the one before, a separator plate and a cover of its own, four clutches,
/// three lubricated places.
fn bank(bank: usize, banks: usize, dice: &mut Dice) -> String {
    let (line, lube, pilot) = match bank {
        0 => ("drive".into(), "lube-main".into(), "pilot".into()),
        _ => {
            let before = (bank - 1) / BRANCHES;
            let of = |what: &str| format!("{what}-{before}");
            (of("drive"), of("lube"), of("pilot"))
        }
    };
    let each = |what: &str| {
        let named = (0..CLUTCHES).map(|i| format!("\"{what}-{bank}-{i}\""));
        named.collect::<Vec<_>>().join(", ")
    };
    let passages = ["feed", "apply", "shift-pilot", "seat"]
        .map(each)
        .join(", ");
    let (feeds, pilots, drums) = (each("feed"), each("shift-pilot"), each("drum"));
    let fed = (fed_by(bank, banks) as f64).sqrt();
    let (wide, wider) = (8.0 * fed, 12.0 * fed);
    format!(
        r#"[casting]
body-{bank} = {{ passages = ["drive-{bank}", "lube-{bank}", "pilot-{bank}", "hollow-{bank}", {passages}] }}
shaft-{bank} = {{ passages = [{drums}, "lube-{bank}-0", "lube-{bank}-1", "lube-{bank}-2"] }}
[plate]
separator-{bank} = {{ kind = "separator", bolts = {bolts}, torque = "10 N·m", thickness = "1.8 mm", gap = "0.15 mm", wall = "4 mm", roofs = [{feeds}], separates = [[{feeds}]] }}
pilot-cover-{bank} = {{ kind = "cover", bolts = 5, torque = "8 N·m", thickness = "2.5 mm", gap = "0.2 mm", wall = "4 mm", roofs = [{pilots}] }}
hop-cover-{bank} = {{ kind = "bridge", bolts = 2, torque = "9 N·m", thickness = "3 mm", gap = "0.2 mm", wall = "5 mm", roofs = ["hollow-{bank}"] }}
[port]
drive-gallery-{bank} = {{ between = ["{line}", "drive-{bank}"], bore = "{wider:.1} mm", thickness = "20 mm" }}
pilot-gallery-{bank} = {{ between = ["{pilot}", "pilot-{bank}"], bore = "{wide:.1} mm", thickness = "20 mm" }}
lube-gallery-{bank} = {{ between = ["{lube}", "lube-{bank}"], bore = "{wider:.1} mm", thickness = "20 mm" }}
hop-drilling-{bank} = {{ between = ["hollow-{bank}", "lube-{bank}-0"], bore = "4 mm", thickness = "6 mm", under = "hop-cover-{bank}" }}
[orifice]
hop-{bank} = {{ between = ["lube-{bank}", "hollow-{bank}"], under = "hop-cover-{bank}", hole-at = "lube-{bank}", bore = "1.{hop} mm", thickness = "4 mm" }}
jet-{bank}-1 = {{ between = ["lube-{bank}", "lube-{bank}-1"], bore = "1.{jet} mm", thickness = "5 mm" }}
jet-{bank}-2 = {{ between = ["lube-{bank}", "lube-{bank}-2"], bore = "1.4 mm", thickness = "5 mm" }}
[outlet]
bearing-{bank} = {{ kind = "bearing", at = "lube-{bank}-0", bore = "0.9 mm" }}
set-{bank} = {{ kind = "gear", at = "lube-{bank}-1", bore = "1.2 mm" }}
bushing-{bank} = {{ kind = "bushing", at = "lube-{bank}-2", bore = "1.0 mm" }}"#,
        bolts = 12 + dice.below(12),
        hop = 2 + dice.below(6),
        jet = 2 + dice.below(6),
    )
}

/// The banks that hang on the galleries of one, itself included: its galleries are as wide as that.
fn fed_by(bank: usize, banks: usize) -> usize {
    let (mut first, mut last, mut fed) = (bank, bank, 0);
    while first < banks {
        fed += last.min(banks - 1) - first + 1;
        (first, last) = (BRANCHES * first + 1, BRANCHES * last + BRANCHES);
    }
    fed
}

/// A clutch with all that moves it. The feed of the one before in its bank shuts it out, as
/// interlocks do, so that no bank holds two.
fn clutch(bank: usize, clutch: usize, dice: &mut Dice) -> String {
    let i = format!("{bank}-{clutch}");
    let lock = match clutch {
        0 => "sump".to_owned(),
        _ => format!("feed-{bank}-{}", clutch - 1),
    };
    let spring = match clutch {
        0 => String::new(),
        _ => format!(" and not {lock}"),
    };
    let mut text = format!(
        r#"[solenoid]
solenoid-{i} = {{ kind = "bleed", on = "seat-{i}", normally = "open", bore = "1.8 mm" }}
[valve.shift-{i}]
bore = ["shift-pilot-{i}", "sump", "feed-{i}", "drive-{bank}", "{lock}"]
spring = "{lock}"
moves-at = "2.2 bar"
diameter = "{diameter} mm"
clearance = "0.015 mm"
land = "5 mm"
opening = "7 mm"
wear = "0.03 mm"
rest = {{ joins = [["feed-{i}", "sump"]], otherwise = true }}
up = {{ joins = [["drive-{bank}", "feed-{i}"]], when = "shift-pilot-{i}{spring}" }}
[orifice]
pilot-feed-{i} = {{ between = ["pilot-{bank}", "shift-pilot-{i}"], under = "pilot-cover-{bank}", hole-at = "pilot-{bank}", bore = "0.8 mm", thickness = "3 mm" }}
fill-{i} = {{ between = ["feed-{i}", "apply-{i}"], through = "separator-{bank}", bore = "2.{fill} mm" }}
[ball]
exhaust-{i} = {{ from = "apply-{i}", to = "feed-{i}", through = "separator-{bank}", bore = "6 mm" }}
[port]
seat-port-{i} = {{ between = ["shift-pilot-{i}", "seat-{i}"], bore = "4 mm" }}
turn-{i} = {{ between = ["apply-{i}", "drum-{i}"], bore = "6 mm", thickness = "8 mm" }}
[seal]
ring-{i} = {{ kind = "ring", on = "turn-{i}" }}
o-ring-{i} = {{ between = ["seat-{i}", "sump"] }}
[outlet]
clutch-{i} = {{ kind = "clutch", at = "drum-{i}", volume = "50 cm³", spring = "1.2 bar", stroked-at = "1.5 bar" }}"#,
        diameter = 11 + dice.below(5),
        fill = dice.below(5),
    );
    if dice.below(3) > 0 {
        text += &format!(
            r#"
[accumulator]
cushion-{i} = {{ at = "apply-{i}", volume = "30 cm³", begins-at = "2.5 bar", full-at = "6 bar" }}"#
        );
    }
    if dice.below(4) == 0 {
        text += &format!("\n[tap]\ntap-{i} = {{ at = \"apply-{i}\" }}");
    }
    text
}
