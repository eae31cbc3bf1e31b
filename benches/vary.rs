//! A quantity varied at 100 values, and two on a grid of 50 by 50, beside measuring each of the
//! same points anew.
//!
//! `cargo bench --bench vary`. The rival settles each point again and begins its pressures from
//! nothing; it looks for no limits and no boundaries, which ours does besides.

use std::path::Path;
use std::time::Instant;

use oilpath::answer::{
    FlowsQuestion, GridQuestion, Varied, VaryQuestion, VarySpan, WARM, grid, vary,
};
use oilpath::circuit::{Circuit, Fault, Kind, PartName};
use oilpath::flow::{Block, Measure, Oil, Running, Sizes, Standing};
use oilpath::net::{Net, Stage};
use oilpath::settle::settle;
use oilpath::sheet;
use oilpath::units::{Quantity, Speed, Temperature};

fn main() {
    let gap = Varied::Size((PartName::new(Kind::Plate, "hop-cover"), Measure::Gap));
    let gap = |points| VarySpan {
        varied: gap.clone(),
        over: [0.01e-3, 0.4e-3],
        points,
    };
    let speed = |points| VarySpan {
        varied: Varied::Speed,
        over: [30.0, 300.0],
        points,
    };
    let warmth = |points| VarySpan {
        varied: Varied::OilTemperature,
        over: [263.15, 383.15],
        points,
    };
    let tractor = open("circuits/tractor-powershift.toml");
    let loose = [tractor.fault("hop-cover:loose").expect("a fault of it")];
    let (tractor, loose) = (Net::new(&tractor).expect("no problems"), &loose[..]);
    let bus = open("circuits/six-speed-bus.toml");
    let bus = Net::new(&bus).expect("no problems");
    let ask = |name: &str, net: &Net<'_>, faults: &[Fault], state: &str, spans: &[VarySpan]| {
        beside(name, net, faults, state, spans);
    };
    ask("tractor, gap", &tractor, loose, "forward-low", &[gap(100)]);
    ask("six-speed, speed", &bus, &[], "first", &[speed(100)]);
    let spans = [gap(50), warmth(50)];
    ask(
        "tractor, gap by temperature",
        &tractor,
        loose,
        "forward-low",
        &spans,
    );
    let spans = [speed(50), warmth(50)];
    ask(
        "six-speed, speed by temperature",
        &bus,
        &[],
        "first",
        &spans,
    );
}

fn open(path: &str) -> Circuit {
    match sheet::open(Path::new(path)) {
        Ok(sheet) => sheet.circuit,
        Err(_) => panic!("{path} cannot be read"),
    }
}

fn beside(name: &str, net: &Net<'_>, faults: &[Fault], state: &str, spans: &[VarySpan]) {
    let flows = &FlowsQuestion::default();
    let driven = (Some(state), &net.circuit().states[state]);
    let begun = Instant::now();
    let found = match spans {
        [along, up] => {
            let (along, up) = (along.clone(), up.clone());
            let question = GridQuestion { along, up, flows };
            let answer = grid(net, faults, driven, &question).expect("all sizes known");
            answer
                .outlets
                .iter()
                .filter(|o| !o.boundary.is_empty())
                .count()
        }
        [span, ..] => {
            let span = span.clone();
            let answer = vary(net, faults, driven, &VaryQuestion { span, flows });
            let limits = answer.expect("all sizes known").limits;
            limits.iter().filter(|l| !l.changes.is_empty()).count()
        }
        [] => 0,
    };
    let own = begun.elapsed().as_secs_f64();
    let begun = Instant::now();
    let points = anew(net, faults, state, spans);
    let rival = begun.elapsed().as_secs_f64();
    println!(
        "{name}: {points} points and {found} outlets with limits {own:.3} s, each anew {rival:.3} s; \
         own ÷ rival {:.2}",
        own / rival
    );
}

/// Measures every point from scratch; how many there were.
fn anew(net: &Net<'_>, faults: &[Fault], state: &str, spans: &[VarySpan]) -> usize {
    let mut points: Vec<Vec<f64>> = vec![Vec::new()];
    for span in spans {
        let longer = |point: &Vec<f64>| {
            let values = span.values().into_iter();
            values
                .map(|value| [&point[..], &[value]].concat())
                .collect::<Vec<_>>()
        };
        points = points.iter().flat_map(longer).collect();
    }
    for point in &points {
        let (mut sizes, mut speed, mut warmth) = (Sizes::default(), None, WARM);
        for (span, value) in spans.iter().zip(point) {
            match &span.varied {
                Varied::Size(of) => sizes = sizes.with(of.clone(), *value),
                Varied::Speed => speed = Some(Speed::from_si(*value)),
                Varied::OilTemperature => warmth = Temperature::from_si(*value),
            }
        }
        let oil = &net.circuit().oils[0];
        let [one, other] = oil.viscosity;
        let density = oil.density.expect("the demo oils have one");
        let oil = Oil::new(one, other, density).expect("an oil");
        let running = Running::new(speed, oil, warmth).expect("an oil");
        let stage = Stage::new(net, &net.circuit().states[state], faults);
        for end in &settle(&stage).ends {
            let standing = Standing {
                stage: &stage,
                faults,
                held: &end.held,
                doubtful_open: true,
            };
            let block = Block::lay(standing, &running, &sizes);
            let measured = block
                .expect("sizes of which laws can be made")
                .measure(None);
            assert!(measured.converged);
        }
    }
    points.len()
}
