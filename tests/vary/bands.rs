//! Figures over the tolerances of sizes: corners that hold, draws that are the same every time.

use oilpath::answer::{
    BandBy, Dice, Draws, Flows, FlowsQuestion, FlowsState, OutletFlow, Range, SizeBand, Varied,
    VaryQuestion, VarySpan, flows, vary,
};
use oilpath::circuit::{Circuit, Fault, Kind, PartName};
use oilpath::flow::law::{Hole, Law, Orifice, SHARP_EDGED};
use oilpath::flow::{Measure, Oil, Sizes};
use oilpath::sheet;
use oilpath::units::Length;
use proptest::prelude::*;

use crate::recipe::recipe;
use crate::support::{net, open};

fn ask(circuit: &Circuit, faults: &[&str], state: Option<&str>, bands: Option<Draws>) -> Flows {
    let faults: Vec<Fault> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
    let question = FlowsQuestion {
        bands,
        ..FlowsQuestion::default()
    };
    flows(&net(circuit), &faults, state, &question).unwrap()
}

fn outlet<'a>(answer: &'a Flows, id: &str) -> &'a OutletFlow {
    let mut outlets = answer.states[0].outlets.iter();
    outlets.find(|o| o.outlet.id == id).unwrap()
}

const ONE_HOLE: &str = r#"
    [casting]
    block = { passages = ["line"] }
    [source]
    supply = { feeds = "line", pressure = "8 ±0.5 bar" }
    [outlet]
    bearing = { kind = "bearing", at = "line", bore = "1.2 ±0.05 mm", needs = "2 L/min" }
"#;

/// One hole under a fixed pressure: the orifice law at the two far corners is the band. The law
/// itself is held against values from outside in `tests/flow`.
#[test]
fn one_hole_has_the_band_of_its_law() {
    let circuit = sheet::read(ONE_HOLE).unwrap().circuit;
    let answer = ask(&circuit, &[], None, Some(Draws::default()));
    let bearing = outlet(&answer, "bearing");
    let flow = |mm: f64, bar: f64| {
        let hole = Hole {
            bore: Length::from_m(mm / 1e3),
            thickness: Length::from_m(0.0),
            discharge: SHARP_EDGED,
        };
        let warm = Oil::generic().at("80 °C".parse().unwrap()).unwrap();
        Orifice::new(hole, warm).unwrap().rate(bar * 1e5).flow
    };
    let band = bearing.sound.flow_m3_per_s.unwrap();
    assert!((band.least / flow(1.15, 7.5) - 1.0).abs() < 1e-9);
    assert!((band.most / flow(1.25, 8.5) - 1.0).abs() < 1e-9);
    assert_eq!(bearing.band, Some(BandBy::Corners));
    let line = answer.states[0].cavities[0].sound_pa.unwrap();
    assert!((line.least - 7.5e5).abs() < 1e-6 && (line.most - 8.5e5).abs() < 1e-6);
    // Two litres lie between.
    assert!(band.least < 2.0 / 60e3 && 2.0 / 60e3 < band.most);
    assert_eq!(bearing.met, None);
    let sizes = answer.bands.as_ref().unwrap().sizes.iter();
    let sizes: Vec<(f64, f64)> = sizes.map(|s| (s.size, s.off)).collect();
    assert_eq!(sizes, [(8e5, 0.5e5), (1.2e-3, 0.05e-3)]);
    // Without bands, and where a size is set by hand, it is taken as it is.
    let plain = ask(&circuit, &[], None, None);
    let one = outlet(&plain, "bearing").sound.flow_m3_per_s.unwrap();
    assert_eq!(
        (one.least, outlet(&plain, "bearing").band),
        (one.most, None)
    );
    let bore = (PartName::new(Kind::Outlet, "bearing"), Measure::Bore);
    let question = FlowsQuestion {
        sizes: Sizes::default().with(bore, 1.2e-3),
        bands: Some(Draws::default()),
        ..FlowsQuestion::default()
    };
    let set = flows(&net(&circuit), &[], None, &question).unwrap();
    assert_eq!(set.bands.unwrap().sizes.len(), 1);
}

/// Every figure of a state that one may look at, with how its band is known; in the same order for
/// the same block.
fn figures(state: &FlowsState) -> Vec<(String, Option<Range>, Option<BandBy>)> {
    let mut all = Vec::new();
    for outlet in &state.outlets {
        let of = |what: &str| format!("{} {what}", outlet.outlet);
        let now = outlet.now.unwrap_or(outlet.sound);
        all.push((of("sound pressure"), outlet.sound.pressure_pa, outlet.band));
        all.push((of("sound flow"), outlet.sound.flow_m3_per_s, outlet.band));
        all.push((of("pressure"), now.pressure_pa, outlet.band));
        all.push((of("flow"), now.flow_m3_per_s, outlet.band));
        all.push((of("share"), outlet.share, outlet.share_band));
    }
    for cavity in &state.cavities {
        all.push((
            cavity.cavity.clone() + " sound",
            cavity.sound_pa,
            cavity.band,
        ));
        all.push((cavity.cavity.clone(), cavity.now_pa, cavity.band));
    }
    all
}

/// A band known by corners holds whatever draws of the sizes find.
fn holds_draws(file: &str, faults: &[&str], state: &str) {
    let circuit = open(file);
    let wide = ask(&circuit, faults, Some(state), Some(Draws::default()));
    let sizes: Vec<SizeBand> = wide.bands.clone().unwrap().sizes;
    assert!(!sizes.is_empty());
    let net = net(&circuit);
    let broken: Vec<Fault> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
    let bands = figures(&wide.states[0]);
    let known = bands.iter().filter(|(.., by)| *by == Some(BandBy::Corners));
    assert!(known.count() > 5, "{bands:?}");
    let mut dice = Dice::new(77);
    for _ in 0..200 {
        let mut drawn = Sizes::default();
        for size in &sizes {
            let measure: Measure = size.measure.parse().unwrap();
            let value = size.size + (2.0 * dice.share() - 1.0) * size.off;
            drawn = drawn.with((size.part.clone(), measure), value);
        }
        let question = FlowsQuestion {
            sizes: drawn,
            ..FlowsQuestion::default()
        };
        let one = flows(&net, &broken, Some(state), &question).unwrap();
        for ((name, band, by), (_, figure, _)) in bands.iter().zip(figures(&one.states[0])) {
            let (Some(band), Some(figure)) = (band, figure) else {
                assert!(band.is_none() && figure.is_none(), "{name}");
                continue;
            };
            if *by == Some(BandBy::Draws) {
                continue;
            }
            let slack = 1e-6 * band.least.abs().max(band.most.abs()) + 1e-9;
            assert!(
                band.least - slack <= figure.least && figure.most <= band.most + slack,
                "{name} {band:?} {figure:?}"
            );
        }
    }
}

#[test]
fn bands_of_the_tractor_hold_draws() {
    holds_draws(
        "circuits/tractor-powershift.toml",
        &["hop-cover:loose"],
        "neutral",
    );
}

#[test]
fn bands_of_the_transfer_box_hold_draws() {
    holds_draws("circuits/transfer-box.toml", &[], "low");
}

#[test]
fn bands_of_the_six_speed_hold_draws() {
    holds_draws("circuits/six-speed-bus.toml", &[], "third");
}

/// With more sizes than corners are measured of, sizes are drawn: the same with the same seed.
#[test]
fn many_sizes_are_drawn() {
    let passages: Vec<String> = (0..8).map(|i| format!("'p{i}'")).collect();
    let mut text = format!(
        "[casting]\nblock = {{ passages = ['line', {}] }}\n\
         [source]\nsupply = {{ feeds = 'line', pressure = '8 bar' }}\n[orifice]\n",
        passages.join(", ")
    );
    for i in 0..8 {
        let from = if i == 0 {
            "line".to_owned()
        } else {
            format!("p{}", i - 1)
        };
        text += &format!("o{i} = {{ between = ['{from}', 'p{i}'], bore = '1.2 mm ±5 %' }}\n");
    }
    text += "[outlet]\nbearing = { kind = 'bearing', at = 'p7', bore = '1 mm' }\n";
    let circuit = sheet::read(&text).unwrap().circuit;
    let with = |seed| ask(&circuit, &[], None, Some(Draws { count: 40, seed }));
    let (one, again, other) = (with(3), with(3), with(4));
    let bearing = outlet(&one, "bearing");
    assert_eq!(bearing.band, Some(BandBy::Draws));
    assert_eq!(one, again);
    assert_ne!(bearing.sound, outlet(&other, "bearing").sound);
    // Line is what the supply makes it.
    assert_eq!(one.states[0].cavities[0].band, None);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, ..ProptestConfig::default() })]

    /// Wider tolerances never make a band narrower, and a band always holds the figure of the sizes
    /// as they are written.
    #[test]
    fn wider_tolerances_never_narrow_a_band(
        recipe in recipe(),
        off in prop::collection::vec(1u32..12, 3),
    ) {
        let mut circuit = recipe.circuit();
        let plain = ask(&circuit, &["cover:loose"], None, None);
        let mut wide = |times: f64| {
            for (number, percent) in (1..=recipe.feeds.len()).zip(&off) {
                let id = format!("feed-{number}");
                let bore = circuit.orifices[&id].bore.unwrap().m();
                let key = (PartName::new(Kind::Orifice, &id), "bore".to_owned());
                circuit.tolerances.insert(key, times * bore * f64::from(*percent) / 100.0);
            }
            let key = (PartName::new(Kind::Plate, "cover"), "gap".to_owned());
            circuit.tolerances.insert(key, times * 0.01e-3);
            ask(&circuit, &["cover:loose"], None, Some(Draws { count: 20, seed: 1 }))
        };
        let (narrow, wide) = (wide(1.0), wide(2.0));
        let all = figures(&plain.states[0]).into_iter();
        let both = figures(&narrow.states[0]).into_iter().zip(figures(&wide.states[0]));
        for ((name, plain, _), ((_, narrow, by), (_, wide, wide_by))) in all.zip(both) {
            let (Some(plain), Some(narrow), Some(wide)) = (plain, narrow, wide) else { continue };
            let slack = 1e-6 * wide.most.abs() + 1e-9;
            let within = |inner: Range, outer: Range| {
                outer.least - slack <= inner.least && inner.most <= outer.most + slack
            };
            prop_assert!(within(plain, narrow) && within(plain, wide), "{}", name);
            let drawn = [by, wide_by].contains(&Some(BandBy::Draws));
            prop_assert!(drawn || within(narrow, wide), "{} {:?} {:?}", name, narrow, wide);
        }
    }
}

/// The gap from which the bearing may fall short is that of the corner where hop, bearing and line
/// are worst for it, set by hand; that from which it surely does, that of the best corner.
#[test]
fn a_limit_over_tolerances_lies_between_its_worst_and_best_corner() {
    let circuit = open("circuits/tractor-powershift.toml");
    let net = net(&circuit);
    let loose = [circuit.fault("hop-cover:loose").unwrap()];
    let cover = PartName::new(Kind::Plate, "hop-cover");
    let limit = |flows: &FlowsQuestion| {
        let span = VarySpan {
            varied: Varied::Size((cover.clone(), Measure::Gap)),
            over: [0.01e-3, 0.3e-3],
            points: 5,
        };
        let state = (Some("neutral"), &circuit.states["neutral"]);
        let answer = vary(&net, &loose, state, &VaryQuestion { span, flows }).unwrap();
        let mut limits = answer.limits.into_iter();
        limits.find(|l| l.outlet.id == "pto-bearing").unwrap()
    };
    let at = |way: f64| {
        let sizes = [
            (
                PartName::new(Kind::Regulator, "main"),
                Measure::At,
                16e5 + way * 0.6e5,
            ),
            (
                PartName::new(Kind::Orifice, "hop"),
                Measure::Bore,
                1.2e-3 + way * 0.05e-3,
            ),
            (
                PartName::new(Kind::Outlet, "pto-bearing"),
                Measure::Bore,
                0.5e-3 + way * 0.03e-3,
            ),
        ];
        let sizes = sizes
            .into_iter()
            .fold(Sizes::default(), |sizes, (part, measure, si)| {
                sizes.with((part, measure), si)
            });
        limit(&FlowsQuestion {
            sizes,
            ..FlowsQuestion::default()
        })
    };
    let wide = limit(&FlowsQuestion {
        bands: Some(Draws::default()),
        ..FlowsQuestion::default()
    });
    let plain = limit(&FlowsQuestion::default());
    let middle = |changes: &[Range]| match changes {
        [one] => (one.least + one.most) / 2.0,
        other => panic!("{other:?}"),
    };
    let close = 1e-4 * 0.29e-3;
    assert!((middle(&wide.changes) - middle(&at(-1.0).changes)).abs() < close);
    assert!((middle(&wide.fails) - middle(&at(1.0).changes)).abs() < close);
    assert_eq!(plain.changes, plain.fails);
    assert!(middle(&wide.changes) < middle(&plain.changes));
    assert!(middle(&plain.changes) < middle(&wide.fails));
}
