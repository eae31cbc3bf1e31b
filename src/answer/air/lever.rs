//! Where the lever is to stand while air is blown in.

use std::collections::HashSet;

use super::bench::{AirBench, AirSetup};
use super::found::AirFound;
use crate::circuit::Truth;
use crate::net::{Cavity, Stage, Term, Way, WayId};

impl<'n> AirBench<'n> {
    /// The check of one place with the lever where the air goes off least and gets to fewest
    /// cavities, first where it strokes something.
    pub(super) fn best(&self, body: Option<usize>, at: Cavity, holes: Vec<WayId>) -> AirSetup {
        let tried = |lever| self.tried(body, at, &holes, lever);
        let (mut first, found, wet) = tried(self.levers[0].0);
        if !self.lever_is_felt(&wet) {
            return first;
        }
        let score = |found: &AirFound, wet: &[Cavity]| {
            let idle = found.strokes.is_empty();
            (found.goes_off(), idle, found.escapes.len(), wet.len())
        };
        let mut least = score(&found, &wet);
        let mut best = first.clone();
        let mut known = vec![(&self.levers[0].1, self.felt(&wet))];
        for (lever, stage) in &self.levers[1..] {
            let alike = |(other, felt): &(&Stage<'n>, _)| self.alike([*other, stage], felt);
            if known.iter().any(alike) {
                continue;
            }
            let (setup, other, wet) = tried(*lever);
            known.push((stage, self.felt(&wet)));
            first.hangs_on_lever |= other != found || setup.blocked != first.blocked;
            if score(&other, &wet) < least {
                least = score(&other, &wet);
                best = setup;
            }
        }
        best.hangs_on_lever = first.hangs_on_lever;
        best
    }

    /// A place with the lever in one of its own, what is found there and the cavities air gets to.
    fn tried(
        &self,
        body: Option<usize>,
        at: Cavity,
        holes: &[WayId],
        lever: Option<usize>,
    ) -> (AirSetup, AirFound, Vec<Cavity>) {
        let mut setup = AirSetup {
            body,
            at,
            holes: holes.to_vec(),
            lever,
            hangs_on_lever: false,
            blocked: Vec::new(),
        };
        let (found, wet) = self.close(&mut setup);
        (setup, found, wet)
    }

    /// Whether a valve that the lever moves can be felt by air that gets to these cavities.
    fn lever_is_felt(&self, wet: &[Cavity]) -> bool {
        let felt = self.felt(wet);
        self.net.valves().iter().any(|valve| {
            let mut leaves = valve.rules.iter().flatten().flat_map(Term::leaves);
            let ways = self.net.ways_of(&valve.name);
            let mut ends = ways.flat_map(|way| self.net.ways()[way.at()].ends);
            leaves.any(|leaf| matches!(leaf, Term::Lever(_))) && ends.any(|c| felt.contains(&c))
        })
    }

    /// Whether the lever opens the same ways in two of its places, of those that are felt in one.
    fn alike(&self, levers: [&Stage<'n>; 2], felt: &HashSet<Cavity>) -> bool {
        let net = self.net;
        net.valves().iter().enumerate().all(|(number, valve)| {
            let ways = net.ways_of(&valve.name).map(|way| &net.ways()[way.at()]);
            let ways = ways.filter(|way| way.ends.iter().any(|end| felt.contains(end)));
            let ways: Vec<&Way> = ways.collect();
            let leaves = valve.rules.iter().flatten().flat_map(Term::leaves);
            let (lever, others): (Vec<_>, Vec<_>) =
                leaves.partition(|leaf| matches!(leaf, Term::Lever(_)));
            if ways.is_empty() || lever.is_empty() {
                return true;
            }
            let open = levers.map(|stage| {
                let holds = |rule: &Option<Term>| {
                    let unknown = |_| Truth::Unknown;
                    rule.as_ref().map(|r| r.truth(stage.drives(), &unknown)) == Some(Truth::True)
                };
                let place = valve.rules.iter().position(holds);
                let place = place.or(valve.rest.map(|rest| rest as usize));
                let open = ways
                    .iter()
                    .filter(|w| w.position() == place.map(|p| (number, p)));
                let open = open.map(|way| (way.ends, way.passes, way.strength, way.bore));
                open.collect::<Vec<_>>()
            });
            others.is_empty() && open[0] == open[1]
        })
    }
}

#[cfg(test)]
mod tests {
    use super::AirBench;
    use crate::net::Net;
    use crate::sheet;

    /// Where the lever opens the same ways that are felt, air does the same.
    #[test]
    fn places_that_open_the_same_ways_do_the_same() {
        let (mut same, mut all) = (0, 0);
        for file in ["transfer-box", "tractor-powershift", "six-speed-bus"] {
            let path = format!("circuits/{file}.toml");
            let circuit = sheet::open(&path).unwrap().circuit;
            let net = Net::new(&circuit).unwrap();
            let bench = AirBench::new(&net);
            for setup in bench.setups().iter().step_by(3) {
                let tried = |lever| bench.tried(setup.body, setup.at, &setup.holes, lever);
                let tried = bench
                    .levers
                    .iter()
                    .map(|(lever, stage)| (stage, tried(*lever)));
                let tried: Vec<_> = tried.collect();
                for (number, (one, (own, found, wet))) in tried.iter().enumerate() {
                    let felt = bench.felt(wet);
                    for (other, (also, others, _)) in &tried[number + 1..] {
                        all += 1;
                        if bench.alike([*one, *other], &felt) {
                            same += 1;
                            assert_eq!(found, others, "{path}: {}", bench.cavity(setup));
                            assert_eq!(own.blocked, also.blocked);
                        }
                    }
                }
            }
        }
        assert!(same > 50 && same < all, "{same} of {all}");
    }
}
