//! Two quantities at once, against one after the other.

use oilpath::answer::{
    FlowsQuestion, Grid, GridOutlet, GridPoint, GridQuestion, Varied, VaryLimit, VaryQuestion,
    VarySpan, flows, grid, vary,
};
use oilpath::circuit::{Circuit, Fault, Kind, PartName, State};
use oilpath::flow::{Measure, SizeOf, Sizes};
use proptest::prelude::*;

use crate::recipe::recipe;
use crate::support::{net, open};

pub fn state<'c>(circuit: &'c Circuit, id: &'c str) -> (Option<&'c str>, &'c State) {
    (Some(id), &circuit.states[id])
}

pub fn temperature(over: [f64; 2], points: usize) -> VarySpan {
    let over = over.map(|celsius| celsius + 273.15);
    let varied = Varied::OilTemperature;
    VarySpan {
        varied,
        over,
        points,
    }
}

pub fn speed(rpm: [f64; 2], points: usize) -> VarySpan {
    let over = rpm.map(|rpm| rpm * std::f64::consts::PI / 30.0);
    let varied = Varied::Speed;
    VarySpan {
        varied,
        over,
        points,
    }
}

fn gap(plate: &str, mm: [f64; 2], points: usize) -> VarySpan {
    VarySpan {
        varied: Varied::Size(size_of(plate)),
        over: mm.map(|mm| mm / 1e3),
        points,
    }
}

fn size_of(plate: &str) -> SizeOf {
    (PartName::new(Kind::Plate, plate), Measure::Gap)
}

fn set(varied: &Varied, value: f64, question: &mut FlowsQuestion) {
    match varied {
        Varied::Size(of) => question.sizes = question.sizes.with(of.clone(), value),
        Varied::Speed => question.speed = Some(oilpath::units::Quantity::from_si(value)),
        Varied::OilTemperature => {
            question.oil_temperature = Some(oilpath::units::Quantity::from_si(value));
        }
    }
}

/// Where a boundary crosses a row.
fn crossings(outlet: &GridOutlet, up: f64) -> Vec<f64> {
    let points = outlet.boundary.iter().flatten();
    let here = points.filter(|point| point.up == up);
    let mut along: Vec<f64> = here.map(|point| point.along).collect();
    along.sort_by(f64::total_cmp);
    along.dedup();
    along
}

/// Every row of a grid is what varying the one quantity at that value of the other gives: the same
/// points met, and the boundary where that has its limit.
fn agrees_with_vary(
    circuit: &Circuit,
    faults: &[&str],
    id: &str,
    along: VarySpan,
    up: VarySpan,
) -> Grid {
    let net = net(circuit);
    let faults: Vec<Fault> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
    let given = FlowsQuestion::default();
    let question = GridQuestion {
        along: along.clone(),
        up: up.clone(),
        flows: &given,
    };
    let answer = grid(&net, &faults, state(circuit, id), &question).unwrap();
    assert_eq!(answer.unsolved, 0);
    let close = answer.close * (along.over[1] - along.over[0]).abs();
    for (row, value) in answer.up.values.iter().enumerate() {
        let mut given = FlowsQuestion::default();
        set(&up.varied, *value, &mut given);
        let question = VaryQuestion {
            span: along.clone(),
            flows: &given,
        };
        let varied = vary(&net, &faults, state(circuit, id), &question).unwrap();
        let limits: Vec<&VaryLimit> = varied.limits.iter().collect();
        assert_eq!(limits.len(), answer.outlets.len());
        for (limit, outlet) in limits.iter().zip(&answer.outlets) {
            assert_eq!(limit.outlet, outlet.outlet);
            assert_eq!(outlet.met[row][0], Some(limit.met_at_first));
            let mut found: Vec<f64> = limit
                .changes
                .iter()
                .map(|c| (c.least + c.most) / 2.0)
                .collect();
            found.sort_by(f64::total_cmp);
            let crossed = crossings(outlet, *value);
            assert_eq!(crossed.len(), found.len(), "{:?} {value}", outlet.outlet);
            for (grid, vary) in crossed.iter().zip(found) {
                assert!(
                    (grid - vary).abs() <= close,
                    "{:?} {grid} {vary}",
                    outlet.outlet
                );
            }
        }
    }
    answer
}

#[test]
fn a_grid_is_many_dense_sweeps_on_the_tractor() {
    let circuit = open("circuits/tractor-powershift.toml");
    let along = gap("hop-cover", [0.01, 0.4], 14);
    let up = temperature([-10.0, 110.0], 7);
    let answer = agrees_with_vary(&circuit, &["hop-cover:loose"], "neutral", along, up);
    let bearing = answer
        .outlets
        .iter()
        .find(|o| o.outlet.id == "pto-bearing")
        .unwrap();
    // One line from the bottom to the top.
    assert_eq!(bearing.boundary.len(), 1);
    let ends = [bearing.boundary[0].first(), bearing.boundary[0].last()];
    let ups: Vec<f64> = ends.iter().map(|p| p.unwrap().up).collect();
    assert!(ups.contains(&answer.up.values[0]) && ups.contains(&answer.up.values[6]));
    let lines = answer.outlets.iter().filter(|o| !o.boundary.is_empty());
    assert_eq!(lines.count(), 1);
}

#[test]
fn hot_idle_to_cold_fast_on_the_six_speed() {
    let circuit = open("circuits/six-speed-bus.toml");
    let along = speed([300.0, 2000.0], 6);
    let up = temperature([-20.0, 130.0], 4);
    let answer = agrees_with_vary(&circuit, &[], "first", along, up);
    // What the pump moves at 300 rpm is too little for the cooler, hot, and enough at 2000.
    let cooler = answer
        .outlets
        .iter()
        .find(|o| o.outlet.id == "oil-cooler")
        .unwrap();
    assert_eq!(
        (cooler.met[3][0], cooler.met[3][5]),
        (Some(false), Some(true))
    );
    let (regions, at) = answer.regions();
    let points: usize = regions.iter().map(|r| r.points).sum();
    assert_eq!(points, 24);
    assert_eq!(regions[at[3][5]].sign, '·');
    assert_ne!(regions[at[0][0]].sign, '·');
}

/// Falling values are the same grid the other way round.
#[test]
fn a_grid_may_fall() {
    let circuit = open("circuits/transfer-box.toml");
    let net = net(&circuit);
    let ask = |rpm, celsius| {
        let question = GridQuestion {
            along: speed(rpm, 5),
            up: temperature(celsius, 4),
            flows: &FlowsQuestion::default(),
        };
        grid(&net, &[], state(&circuit, "low"), &question).unwrap()
    };
    let (rising, falling) = (
        ask([300.0, 1500.0], [0.0, 120.0]),
        ask([1500.0, 300.0], [120.0, 0.0]),
    );
    assert!(rising.outlets.iter().any(|o| !o.boundary.is_empty()));
    for (one, other) in rising.outlets.iter().zip(&falling.outlets) {
        for (row, back) in one.met.iter().zip(other.met.iter().rev()) {
            assert!(row.iter().eq(back.iter().rev()));
        }
        let points = |outlet: &GridOutlet| outlet.boundary.iter().flatten().count();
        assert_eq!(points(one), points(other));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Every point says what asking for it alone from nothing says; and a little to either side of
    /// every point of a boundary the need is met on one and not on the other.
    #[test]
    fn a_grid_says_what_each_of_its_points_says_alone(recipe in recipe()) {
        let circuit = recipe.circuit();
        let net = net(&circuit);
        let loose = [circuit.fault("cover:loose").unwrap()];
        let given = FlowsQuestion::default();
        let [along, up] = [gap("cover", [0.005, 0.3], 6), temperature([0.0, 120.0], 4)];
        let question = GridQuestion { along: along.clone(), up: up.clone(), flows: &given };
        let nameless = State::default();
        let answer = grid(&net, &loose, (None, &nameless), &question).unwrap();
        let alone = |point: GridPoint| {
            let question = FlowsQuestion {
                sizes: Sizes::default().with(size_of("cover"), point.along),
                oil_temperature: Some(oilpath::units::Temperature::from_kelvin(point.up)),
                ..FlowsQuestion::default()
            };
            flows(&net, &loose, None, &question).unwrap().states[0].outlets.clone()
        };
        for (row, up) in answer.up.values.iter().enumerate() {
            for (column, along) in answer.along.values.iter().enumerate() {
                let outlets = alone(GridPoint { along: *along, up: *up });
                for (told, one) in answer.outlets.iter().zip(&outlets) {
                    prop_assert_eq!(&told.outlet, &one.outlet);
                    prop_assert_eq!(told.met[row][column], one.met);
                }
            }
        }
        let close = 0.51 * answer.close;
        let step = [along.over, up.over].map(|over| close * (over[1] - over[0]));
        for (number, told) in answer.outlets.iter().enumerate() {
            for point in told.boundary.iter().flatten() {
                let met = |way: f64| {
                    let off = match answer.up.values.contains(&point.up) {
                        true => [way * step[0], 0.0],
                        false => [0.0, way * step[1]],
                    };
                    alone(GridPoint { along: point.along + off[0], up: point.up + off[1] })[number].met
                };
                prop_assert_ne!(met(-1.0), met(1.0), "{:?}", point);
            }
        }
    }
}
