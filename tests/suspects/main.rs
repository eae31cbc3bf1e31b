//! From what was seen to the part: against trying every set, against what is true, as a process.

mod bench;
mod brute;
mod case;
mod command;
mod never;
mod reasoned;
mod sightings;
#[path = "../support/mod.rs"]
mod support;
mod weighed;
mod when;

use oilpath::circuit::Circuit;
use oilpath::net::Net;
use oilpath::suspect::{Inquiry, SuspectsQuestion};

/// A question about what was seen.
fn question(circuit: &Circuit, saw: &[&str]) -> SuspectsQuestion {
    let saw = saw.iter().flat_map(|text| match circuit.sightings(text) {
        Ok(sightings) => sightings,
        Err(error) => panic!("{error}: {text}"),
    });
    SuspectsQuestion {
        saw: saw.collect(),
        ..SuspectsQuestion::default()
    }
}

/// An inquiry into what was seen.
fn inquire<'n>(net: &'n Net<'n>, saw: &[&str]) -> Inquiry<'n> {
    Inquiry::new(net, question(net.circuit(), saw))
}
