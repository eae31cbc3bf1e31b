//! Made-up gearboxes of any size are sound, so that what is measured on them means something.

#[path = "support/gearbox.rs"]
mod gearbox;
#[path = "support/layered.rs"]
mod layered;

use oilpath::answer::{Verdict, starve};
use oilpath::lint::{Doubt, lint};
use oilpath::net::Net;
use oilpath::sheet;

#[test]
fn every_seed_gives_a_sound_gearbox_that_does_what_its_states_say() {
    for seed in 0..6 {
        let text = gearbox::text(8, seed);
        let circuit = sheet::read(&text).unwrap().circuit;
        assert!((700..800).contains(&circuit.parts().count()));
        let net = Net::new(&circuit).unwrap();
        // Clutches that none of its few gears uses are all that may be said against it.
        for said in lint(&net) {
            let unused = matches!(
                said.what,
                Doubt::UnfedOutlet { .. } | Doubt::UnusedPosition { .. }
            );
            assert!(unused, "seed {seed}: {said:?}");
        }
        let loose = circuit.fault("hop-cover-0:loose").unwrap();
        let answer = starve(&net, &[loose], None);
        assert_eq!(answer.with("gear-1", Verdict::Starved), ["bearing-0"]);
    }
}

#[test]
fn a_seed_and_a_size_always_give_the_same() {
    assert_eq!(gearbox::text(3, 5), gearbox::text(3, 5));
    assert_ne!(gearbox::text(3, 5), gearbox::text(3, 6));
}
