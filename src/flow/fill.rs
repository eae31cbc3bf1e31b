//! How long pistons take to fill: strokes against their springs, one after the other or together.

/// A piston that oil moves against a spring: of a clutch or servo until it is home, of an
/// accumulator until it is full.
///
/// Its pressure rises evenly with the oil it has taken, for its spring does with its stroke: p A =
/// k (x₀ + x), where V = A x. Friction and the mass of the piston are left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piston {
    /// Oil of its whole stroke, in m³; more than nothing.
    pub volume: f64,
    /// Pressure at which it begins to move, in Pa.
    pub begins: f64,
    /// Pressure at the end of its stroke, in Pa; not below that at which it begins.
    pub ends: f64,
}

impl Piston {
    /// Its pressure once it has taken so much, in Pa.
    fn pressure(&self, taken: f64) -> f64 {
        self.begins + (self.ends - self.begins) * taken / self.volume
    }
}

/// What comes to pistons.
pub trait Feed {
    /// What comes to each piston, some held at a pressure and the others standing still; none where
    /// that is not found.
    fn come(&mut self, held: &[Option<f64>]) -> Option<Vec<Comes>>;
}

/// What comes to a piston.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comes {
    /// Pressure before it, in Pa; none where nothing sets it.
    pub pressure: Option<f64>,
    /// Flow to it, in m³/s; only where it is held.
    pub flow: f64,
}

/// How pistons filled.
#[derive(Clone, Debug, PartialEq)]
pub struct Filled {
    /// For each piston: when it came to the end of its stroke, in s; none where it never does.
    pub home: Vec<Option<f64>>,
    /// For each piston: its pressure over time, (s, Pa), until nothing moves any more.
    pub pressures: Vec<Vec<(f64, f64)>>,
    /// Whether all came to rest, or to what seeps for more than a minute; if not, pressures were not
    /// found or steps ran out.
    pub rests: bool,
}

impl Filled {
    /// When a piston first had at least a pressure, in s.
    #[must_use]
    pub fn reaches(&self, piston: usize, pressure: f64) -> Option<f64> {
        let mut before: Option<(f64, f64)> = None;
        for &(at, now) in &self.pressures[piston] {
            if now >= pressure {
                return Some(match before {
                    Some((since, was)) if now > was => {
                        since + (at - since) * (pressure - was) / (now - was)
                    }
                    _ => at,
                });
            }
            before = Some((at, now));
        }
        None
    }
}

/// Of a stroke, what passes in a step at most.
const STEP: f64 = 0.05;

/// Steps before giving up.
const STEPS: usize = 2_000;

/// What takes longer than this moves by leaks alone, and never in time, in s.
const LONGEST: f64 = 60.0;

/// A flow below this moves nothing, in m³/s.
const STILL: f64 = 1e-10;

/// Pressures nearer than this are equal, in Pa.
const EQUAL: f64 = 10.0;

/// Fills pistons from empty, each held at the pressure of its spring while it moves, valves standing
/// as they do: inertia, the spring of the oil itself and oil that fills empty channels are left out,
/// so a time is a least time.
///
/// Valid where strokes are slow beside the waves in the oil (some milliseconds) and the piston's mass
/// is small beside its spring. The laws are the closed forms of a fill at constant flow, through an
/// orifice against constant pressure, and against a spring through an orifice or a narrow passage,
/// which the tests hold it against.
#[must_use]
pub fn fill(pistons: &[Piston], feed: &mut impl Feed) -> Filled {
    let count = pistons.len();
    let mut filling = Filling {
        pistons,
        feed,
        taken: vec![0.0; count],
        moving: vec![false; count],
    };
    let mut filled = Filled {
        home: vec![None; count],
        pressures: vec![Vec::new(); count],
        rests: false,
    };
    let mut time = 0.0;
    for _ in 0..STEPS {
        let Some([as_before, comes]) = filling.sorted() else {
            break;
        };
        // Where a piston comes to its end the pressure before it jumps. In the beginning none has
        // moved yet, and what is found then holds for no time at all.
        let seen = [&as_before, &comes];
        for comes in &seen[usize::from(time == 0.0)..] {
            for (series, comes) in filled.pressures.iter_mut().zip(comes.iter()) {
                series.push((time, comes.pressure.unwrap_or_default()));
            }
        }
        let Some(step) = filling.longest_step(&comes) else {
            filled.rests = true;
            break;
        };
        if time + step > LONGEST {
            filled.rests = true;
            break;
        }
        let Some(passed) = filling.pass(&comes, step) else {
            break;
        };
        time += passed;
        for (i, piston) in pistons.iter().enumerate() {
            if filling.taken[i] >= piston.volume && filled.home[i].is_none() {
                filled.home[i] = Some(time);
            }
        }
    }
    filled
}

struct Filling<'a, F> {
    pistons: &'a [Piston],
    feed: &'a mut F,
    taken: Vec<f64>,
    moving: Vec<bool>,
}

impl<F: Feed> Filling<'_, F> {
    /// What comes to each piston, those held that have taken so much and move.
    fn come(&mut self, taken: &[f64]) -> Option<Vec<Comes>> {
        let held = self.pistons.iter().zip(taken).zip(&self.moving);
        let held: Vec<Option<f64>> = held
            .map(|((piston, taken), moving)| moving.then(|| piston.pressure(*taken)))
            .collect();
        self.feed.come(&held)
    }

    /// Finds which pistons move: an empty one does once the pressure before it is what its spring
    /// takes, a full one once it is less. What comes to each before and after that.
    fn sorted(&mut self) -> Option<[Vec<Comes>; 2]> {
        let before = self.come(&self.taken.clone())?;
        let mut comes = before.clone();
        // Each may change its mind a few times while the others make up theirs.
        for _ in 0..4 * self.pistons.len() {
            let wants = |i: usize| {
                let (piston, taken, comes) = (&self.pistons[i], self.taken[i], comes[i]);
                let (empty, full) = (taken <= 0.0, taken >= piston.volume);
                match (self.moving[i], comes.pressure) {
                    (true, _) if empty => comes.flow > 0.0,
                    (true, _) if full => comes.flow < 0.0,
                    (true, _) => true,
                    (false, None) => false,
                    (false, Some(_)) if !empty && !full => true,
                    (false, Some(p)) if empty => p > piston.begins + EQUAL,
                    (false, Some(p)) => p < piston.ends - EQUAL,
                }
            };
            let Some(changes) = (0..self.pistons.len()).find(|i| wants(*i) != self.moving[*i])
            else {
                break;
            };
            self.moving[changes] = !self.moving[changes];
            comes = self.come(&self.taken.clone())?;
        }
        Some([before, comes])
    }

    /// How long until the first of those that move has gone a step, or is at an end of its stroke;
    /// none where nothing moves.
    fn longest_step(&self, comes: &[Comes]) -> Option<f64> {
        let moving = (0..self.pistons.len()).filter(|i| self.moving[*i]);
        let steps = moving.filter_map(|i| {
            let flow = comes[i].flow;
            let left = match flow > 0.0 {
                true => self.pistons[i].volume - self.taken[i],
                false => self.taken[i],
            };
            (flow.abs() > STILL && left > 0.0)
                .then(|| left.min(STEP * self.pistons[i].volume) / flow.abs())
        });
        steps.reduce(f64::min)
    }

    /// Lets a time pass, by the flow in the middle of it; how long it was.
    fn pass(&mut self, comes: &[Comes], step: f64) -> Option<f64> {
        let moved = |taken: &[f64], comes: &[Comes], moving: &[bool], step: f64| -> Vec<f64> {
            let all = taken.iter().zip(comes).zip(moving).zip(self.pistons);
            all.map(|(((taken, comes), moving), piston)| match moving {
                true => (taken + step * comes.flow).clamp(0.0, piston.volume),
                false => *taken,
            })
            .collect()
        };
        let half = moved(&self.taken, comes, &self.moving, step / 2.0);
        let middle = self.come(&half)?;
        // The flow has changed by then, and with it when the first is at its end.
        let passed = self.longest_step(&middle).unwrap_or(step).min(2.0 * step);
        let mut after = self.taken.clone();
        let pistons = self.pistons.iter().zip(&middle).zip(&self.moving);
        for (after, ((piston, comes), moving)) in after.iter_mut().zip(pistons) {
            if *moving {
                *after = (*after + passed * comes.flow).clamp(0.0, piston.volume);
                // What is as good as at its end is there.
                if piston.volume - *after < 1e-9 * piston.volume {
                    *after = piston.volume;
                }
            }
        }
        self.taken = after;
        Some(passed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A law from a supply to one piston.
    struct Through<L>(L);

    impl<L: Fn(f64) -> f64> Feed for Through<L> {
        fn come(&mut self, held: &[Option<f64>]) -> Option<Vec<Comes>> {
            let one = |held: &Option<f64>| match held {
                Some(pressure) => Comes {
                    pressure: Some(*pressure),
                    flow: (self.0)(*pressure),
                },
                // Standing still it has the pressure of the supply, here far above all springs.
                None => Comes {
                    pressure: Some(1e8),
                    flow: 0.0,
                },
            };
            Some(held.iter().map(one).collect())
        }
    }

    fn home(piston: Piston, law: impl Fn(f64) -> f64) -> f64 {
        let filled = fill(&[piston], &mut Through(law));
        assert!(filled.rests);
        filled.home[0].unwrap()
    }

    #[test]
    fn two_pistons_one_after_the_other_take_as_long_as_both_volumes() {
        let pistons = [
            Piston {
                volume: 2e-5,
                begins: 1e5,
                ends: 1e5,
            },
            Piston {
                volume: 3e-5,
                begins: 3e5,
                ends: 3e5,
            },
        ];
        /// All of a constant flow goes to the piston that gives way first.
        struct Shared;
        impl Feed for Shared {
            fn come(&mut self, held: &[Option<f64>]) -> Option<Vec<Comes>> {
                let least = held.iter().flatten().copied().fold(f64::INFINITY, f64::min);
                let one = |held: &Option<f64>| Comes {
                    pressure: Some(held.unwrap_or(least.min(1e6))),
                    flow: match held {
                        Some(pressure) if *pressure == least => 1e-4,
                        Some(_) => -1e-4,
                        None => 0.0,
                    },
                };
                Some(held.iter().map(one).collect())
            }
        }
        let filled = fill(&pistons, &mut Shared);
        assert!(filled.rests);
        assert!((filled.home[0].unwrap() - 0.2).abs() < 1e-9);
        assert!((filled.home[1].unwrap() - 0.5).abs() < 1e-9);
        assert!((filled.reaches(0, 2.9e5).unwrap() - 0.2).abs() < 1e-9);
        assert!((filled.reaches(0, 9e5).unwrap() - 0.5).abs() < 1e-9);
    }

    #[test]
    fn a_piston_that_no_pressure_moves_stays() {
        let piston = Piston {
            volume: 1e-5,
            begins: 2e8,
            ends: 2e8,
        };
        let filled = fill(&[piston], &mut Through(|_| 1e-4));
        assert!(filled.rests && filled.home[0].is_none());
    }

    #[test]
    fn a_narrow_feed_takes_longer() {
        let piston = Piston {
            volume: 1e-5,
            begins: 1e5,
            ends: 2e5,
        };
        let wide = home(piston, |p| 1e-9 * (8e5 - p));
        let narrow = home(piston, |p| 0.5e-9 * (8e5 - p));
        assert!((narrow / wide - 2.0).abs() < 1e-6);
    }
}
