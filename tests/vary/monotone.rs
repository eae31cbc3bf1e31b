//! What can only fall, or only rise, while one size grows.

use oilpath::answer::{FlowsQuestion, Range, Varied, VaryPoint, VaryQuestion, VarySpan, vary};
use oilpath::circuit::{Circuit, Fault, Kind, PartName, State};
use oilpath::flow::Measure;
use proptest::prelude::*;

use crate::recipe::recipe;
use crate::support::{net, open};

/// What rounding may do: a millionth, and a drop an hour.
fn no_less(before: f64, after: f64) -> bool {
    after >= before - 1e-6 * before.abs() - 1e-11
}

fn points(
    circuit: &Circuit,
    faults: &[Fault],
    state: &State,
    varied: Varied,
    over: [f64; 2],
) -> Vec<VaryPoint> {
    let net = net(circuit);
    let question = VaryQuestion {
        span: VarySpan {
            varied,
            over,
            points: 8,
        },
        flows: &FlowsQuestion::default(),
    };
    let answer = vary(&net, faults, (None, state), &question).unwrap();
    assert!(answer.points.iter().all(|point| point.converged));
    answer.points
}

fn size(kind: Kind, id: &str, measure: Measure) -> Varied {
    Varied::Size((PartName::new(kind, id), measure))
}

/// What an outlet gets at each point: flow or pressure.
fn gets(points: &[VaryPoint], id: &str) -> Vec<f64> {
    let of = |point: &VaryPoint| -> Option<Range> {
        let outlet = point.outlets.iter().find(|o| o.outlet.id == id)?;
        outlet.gets.flow_m3_per_s.or(outlet.gets.pressure_pa)
    };
    points
        .iter()
        .map(|point| of(point).map_or(0.0, |range| range.least))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// Oil that leaves by a wider gap is lost to every bearing: where nothing is regulated none
    /// ever gets more.
    #[test]
    fn a_wider_gap_gives_nobody_more(recipe in recipe()) {
        let circuit = recipe.circuit();
        let loose = [circuit.fault("cover:loose").unwrap()];
        let gap = size(Kind::Plate, "cover", Measure::Gap);
        let points = points(&circuit, &loose, &State::default(), gap, [0.004e-3, 0.4e-3]);
        for number in 1..=recipe.feeds.len() {
            let gets = gets(&points, &format!("b{number}"));
            prop_assert!(gets.windows(2).all(|pair| no_less(pair[1], pair[0])), "{:?}", gets);
        }
    }

    /// A wider orifice never gives less to what has all its oil by it.
    #[test]
    fn a_wider_feed_never_gives_less_beyond_it((recipe, fed) in recipe().prop_flat_map(|recipe| {
        let fed = 1..=recipe.feeds.len();
        (Just(recipe), fed)
    })) {
        let circuit = recipe.circuit();
        let bore = size(Kind::Orifice, &format!("feed-{fed}"), Measure::Bore);
        let points = points(&circuit, &[], &State::default(), bore, [0.4e-3, 3e-3]);
        for beyond in recipe.beyond(fed) {
            let gets = gets(&points, &format!("b{beyond}"));
            prop_assert!(gets.windows(2).all(|pair| no_less(pair[0], pair[1])), "{:?}", gets);
        }
    }
}

/// On the tractor: a cover that stands off further never gives the bearing beyond it more, in any
/// state; a wider hop never gives it less; a faster pump never gives any outlet that works by flow
/// less, nor any applied clutch.
#[test]
fn the_tractor_is_monotone_where_it_must_be() {
    let circuit = open("circuits/tractor-powershift.toml");
    let loose = [circuit.fault("hop-cover:loose").unwrap()];
    for state in circuit.states.values() {
        let ask = |faults, varied, over| points(&circuit, faults, state, varied, over);
        let gap = size(Kind::Plate, "hop-cover", Measure::Gap);
        let wider = gets(&ask(&loose, gap, [0.01e-3, 0.5e-3]), "pto-bearing");
        assert!(
            wider.windows(2).all(|pair| no_less(pair[1], pair[0])),
            "{wider:?}"
        );
        let bore = size(Kind::Orifice, "hop", Measure::Bore);
        let hop = gets(&ask(&[], bore, [0.5e-3, 2e-3]), "pto-bearing");
        assert!(
            hop.windows(2).all(|pair| no_less(pair[0], pair[1])),
            "{hop:?}"
        );
        let faster = ask(&[], Varied::Speed, [60.0, 250.0]);
        for outlet in &faster[0].outlets {
            let id = &outlet.outlet.id;
            if outlet.gets.flow_m3_per_s.is_none() && !state.applies.contains(id) {
                continue;
            }
            let gets = gets(&faster, id);
            assert!(
                gets.windows(2).all(|pair| no_less(pair[0], pair[1])),
                "{id} {gets:?}"
            );
        }
    }
}
