//! Drawing the six-speed: what is to be drawn, placing it by either engine, the whole to SVG.
//!
//! `cargo bench --bench draw`

use std::path::Path;

use divan::Bencher;
use oilpath::circuit::Circuit;
use oilpath::draw::{self, Layered, Layout, Plain, Style, View};
use oilpath::net::Net;
use oilpath::sheet;

fn main() {
    divan::main();
}

fn circuit() -> Circuit {
    sheet::open(Path::new("circuits/six-speed-bus.toml"))
        .expect("the six-speed reads")
        .circuit
}

fn view() -> View<'static> {
    View {
        state: Some("fifth"),
        ..View::default()
    }
}

#[divan::bench]
fn picture(bencher: Bencher) {
    let circuit = circuit();
    let net = Net::new(&circuit).expect("it is sound");
    bencher.bench(|| draw::picture(divan::black_box(&net), &view()));
}

fn place(bencher: Bencher, engine: &dyn Layout) {
    let circuit = circuit();
    let net = Net::new(&circuit).expect("it is sound");
    let picture = draw::picture(&net, &view()).expect("it can be drawn");
    let plan = draw::plan(&picture);
    bencher.bench_local(|| engine.place(divan::black_box(&plan)));
}

#[divan::bench]
fn place_layered(bencher: Bencher) {
    place(bencher, &Layered);
}

#[divan::bench]
fn place_plain(bencher: Bencher) {
    place(bencher, &Plain);
}

/// The aim: under 200 ms.
#[divan::bench]
fn whole_drawing(bencher: Bencher) {
    let circuit = circuit();
    let net = Net::new(&circuit).expect("it is sound");
    bencher.bench(|| {
        let picture = draw::picture(divan::black_box(&net), &view()).expect("it can be drawn");
        draw::svg(&picture, &Layered, &Style::default())
    });
}
