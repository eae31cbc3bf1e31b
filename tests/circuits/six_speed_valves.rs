//! Valves, solenoids, seals and accumulators of the six-speed, each fault reasoned out by hand from
//! its circuit file.
//!
//! Gears: reverse C E, first A E, second A D, third B D, fourth A B, fifth B C, sixth C D. Shift
//! valve 1 at rest gives A, up B or C; shift valve 2 at rest E or B, up D; the range valve chooses.

use crate::ask::bus::{BRAKE_D, BRAKE_E, fault};
use crate::ask::{ask, starved, wrong};

/// Without the divider each of A and B empties through the other's released circuit; with both on
/// there is nothing to lose.
#[test]
fn bus_divider_between_a_and_b_cut() {
    let cut = ask("six-speed-bus", &["ab-divider:cut"]);
    let lost = |state| wrong(&cut, state);
    for state in ["first", "second", "low-first", "plug-pulled-low"] {
        assert_eq!(lost(state), [starved("clutch-a")], "{state}");
    }
    for state in ["third", "fifth", "plug-pulled-drive", "plug-pulled-running"] {
        assert_eq!(lost(state), [starved("clutch-b")], "{state}");
    }
    for state in ["fourth", "sixth", "reverse", "neutral"] {
        assert_eq!(lost(state), [], "{state}");
    }
}

/// Drive oil never reaches A. In the low half B has it instead, in the high half C. In fourth B
/// loses through the ring gap to A, which is on no more.
#[test]
fn shift_valve_1_stuck_up() {
    fault(
        "shift-1:stuck=up",
        &[
            (
                &[
                    "first",
                    "second",
                    "low-first",
                    "low-second",
                    "plug-pulled-low",
                ],
                "clutch-a starved, clutch-b on",
            ),
            (
                &["fourth", "fourth-locked"],
                "clutch-a starved, clutch-c on, clutch-b weakened",
            ),
        ],
    );
}

/// Between its places drive oil may run through shift valve 2 straight to the sump, or not:
/// whatever drive oil can reach is undecided, and so is whether line builds.
#[test]
fn shift_valve_2_stuck_between() {
    fault(
        "shift-2:stuck-between=rest+up",
        &[
            (
                &["first", "second", "low-first", "low-second"],
                "clutch-a undecided, brake-d undecided, brake-e undecided",
            ),
            (
                &["third", "plug-pulled-drive"],
                "clutch-b undecided, brake-d undecided, brake-e undecided",
            ),
            (
                &["third-locked"],
                "clutch-b undecided, brake-d undecided, brake-e undecided, lock-up undecided",
            ),
            (
                &["fourth"],
                "clutch-a undecided, clutch-b undecided, brake-d undecided",
            ),
            (
                &["fourth-locked"],
                "clutch-a undecided, clutch-b undecided, brake-d undecided, lock-up undecided",
            ),
            (
                &["fifth", "sixth"],
                "clutch-b undecided, clutch-c undecided, brake-d undecided",
            ),
            (
                &["fifth-locked", "sixth-locked"],
                "clutch-b undecided, clutch-c undecided, brake-d undecided, lock-up undecided",
            ),
            // Limp oil comes from drive oil: the range valve too may stand in either place.
            (
                &["plug-pulled-running"],
                "clutch-b undecided, clutch-c undecided, brake-d undecided, brake-e undecided",
            ),
            // Low-hold oil is drive oil: shift valve 1 too may stand in either place.
            (
                &["plug-pulled-low"],
                "clutch-a undecided, clutch-b undecided, brake-d undecided, brake-e undecided",
            ),
        ],
    );
}

/// Its pilot still pushes shift valve 2 up, nothing brings it back. Where it should rest and has
/// drive oil it gives D, or what it should. Running without current, limp oil and pilot 2 stand
/// against each other with no spring to choose. In fourth A is on either way, but loses to B
/// through the ring gap if B is off: its verdict hangs on the valve too.
#[test]
fn spring_of_shift_valve_2_broken() {
    fault(
        "shift-2:spring-broken",
        &[
            (
                &["first", "low-first"],
                "brake-d undecided, brake-e undecided",
            ),
            (
                &["fifth", "fifth-locked", "plug-pulled-running"],
                "clutch-b undecided, brake-d undecided",
            ),
            (
                &["fourth", "fourth-locked"],
                "clutch-a undecided, clutch-b undecided, brake-d undecided",
            ),
        ],
    );
}

/// C oil past worn lands of the range valve meets the open exhaust: it moves nothing.
#[test]
fn range_valve_worn_beside_c() {
    fault("range:worn=c-high+out-1", &[]);
}

/// Its pocket with no way out, the lock-up valve does not stroke.
#[test]
fn vent_of_the_lock_up_valve_plugged() {
    let locked = [
        "third-locked",
        "fourth-locked",
        "fifth-locked",
        "sixth-locked",
    ];
    fault(
        "lock-up-valve:vent-plugged",
        &[(&locked, "lock-up starved")],
    );
}

/// Without current its pilot fills and pushes shift valve 1 up, except in L, where low-hold oil
/// keeps it at rest. In fourth B loses through the ring gap to A, which is on no more.
#[test]
fn solenoid_1_without_current() {
    fault(
        "s1:no-current",
        &[
            (&["first", "second"], "clutch-a starved, clutch-b on"),
            (
                &["fourth", "fourth-locked"],
                "clutch-a starved, clutch-c on, clutch-b weakened",
            ),
        ],
    );
}

/// Where both or neither have current nothing shows. Second becomes B and E, fifth becomes A and
/// D. In L low-hold oil keeps shift valve 1 at rest whatever its pilot: A and E.
#[test]
fn solenoids_1_and_2_swapped() {
    fault(
        "s1:swapped=s2",
        &[
            (
                &["second"],
                "clutch-a starved, brake-d starved, clutch-b on, brake-e on",
            ),
            (
                &["fifth", "fifth-locked"],
                "clutch-b starved, clutch-c starved, clutch-a on, brake-d on",
            ),
            (&["low-second"], "brake-d starved, brake-e on"),
        ],
    );
}

/// The boost pilot is always empty: what needs raised line is on low. Reverse raises line itself,
/// the lock-up has a regulator of its own below either line.
#[test]
fn line_pressure_solenoid_stuck_on() {
    fault(
        "line-pressure:stuck-on",
        &[
            (
                &["first", "low-first"],
                "clutch-a weakened, brake-e weakened",
            ),
            (
                &["second", "low-second", "plug-pulled-low"],
                "clutch-a weakened, brake-d weakened",
            ),
            (
                &["third", "third-locked", "plug-pulled-drive"],
                "clutch-b weakened, brake-d weakened",
            ),
            (
                &["plug-pulled-running"],
                "clutch-b weakened, clutch-c weakened",
            ),
        ],
    );
}

/// Pilot 3 runs off at the solenoid block: the range valve stays low. Fourth gives A and E, fifth
/// B and E, sixth B and D. In fourth A loses through the ring gap to B, which is on no more; in
/// fifth B loses through it to A as it does when all is well.
#[test]
fn o_ring_of_solenoid_3_cut() {
    fault(
        "s3-o-ring:cut",
        &[
            (
                &["fourth", "fourth-locked"],
                "clutch-b starved, brake-e on, clutch-a weakened",
            ),
            (&["fifth", "fifth-locked"], "clutch-c starved, brake-e on"),
            (&["sixth", "sixth-locked"], "clutch-c starved, clutch-b on"),
        ],
    );
}

/// Accumulator E has the sump behind it: E's oil runs off faster than 2.4 mm feeds it.
#[test]
fn accumulator_e_cut() {
    fault("e-cushion:cut", &[(&BRAKE_E, "brake-e starved")]);
}

/// The lips gone, D's oil runs off faster than 1.8 mm feeds it. Line builds.
#[test]
fn lips_of_d_cut() {
    fault("d-lip:cut", &[(&BRAKE_D, "brake-d starved")]);
}
