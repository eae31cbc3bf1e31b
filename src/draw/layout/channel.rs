//! Lines between two layers: down, across on a track of its own, down again.

/// A line between two layers, by where it enters and leaves the channel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Run {
    /// Where it comes in from above.
    pub top: f64,
    /// Where it goes out below.
    pub bottom: f64,
}

/// Closer than this, two lines look like one.
const NEAR: f64 = 7.0;

impl Run {
    /// Whether it goes straight down.
    fn is_straight(&self) -> bool {
        (self.top - self.bottom).abs() < 0.05
    }

    fn span(&self) -> (f64, f64) {
        (self.top.min(self.bottom), self.top.max(self.bottom))
    }

    fn meets(&self, other: &Run) -> bool {
        let ((from, to), (other_from, other_to)) = (self.span(), other.span());
        from < other_to + NEAR && other_from < to + NEAR
    }
}

/// The track of each run, from 0 at the top, and how many there are; none for one that goes
/// straight down. Runs on one track keep apart; where one comes in just where another goes out,
/// the one that comes in crosses over first, unless they wait for each other in a ring.
pub(super) fn tracks(runs: &[Run]) -> (Vec<Option<usize>>, usize) {
    let mut tracks: Vec<Option<usize>> = vec![None; runs.len()];
    let mut waiting: Vec<usize> = (0..runs.len())
        .filter(|i| !runs[*i].is_straight())
        .collect();
    waiting.sort_by(|a, b| runs[*a].span().0.total_cmp(&runs[*b].span().0));
    let before = |a: &Run, b: &Run| (a.top - b.bottom).abs() < NEAR;
    let mut count = 0;
    while !waiting.is_empty() {
        let free = |i: &usize| {
            let mut others = waiting.iter().filter(|j| *j != i);
            !others.any(|j| before(&runs[*j], &runs[*i]))
        };
        let mut ready: Vec<usize> = waiting.iter().copied().filter(free).collect();
        if ready.is_empty() {
            ready.push(waiting[0]);
        }
        let mut here: Vec<usize> = Vec::new();
        for run in ready {
            if !here.iter().any(|other| runs[*other].meets(&runs[run])) {
                here.push(run);
            }
        }
        for run in &here {
            tracks[*run] = Some(count);
        }
        waiting.retain(|run| !here.contains(run));
        count += 1;
    }
    (tracks, count)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_in_where_another_goes_out_crosses_over_first() {
        let into = Run {
            top: 50.0,
            bottom: 100.0,
        };
        let out = Run {
            top: 0.0,
            bottom: 50.0,
        };
        assert_eq!(tracks(&[out, into]), (vec![Some(1), Some(0)], 2));
    }

    #[test]
    fn a_ring_of_runs_ends() {
        let run = |top, bottom| Run { top, bottom };
        let (tracks, count) = tracks(&[run(0.0, 50.0), run(50.0, 0.0), run(9.0, 9.0)]);
        assert_eq!(count, 2);
        assert_eq!(tracks[2], None);
        assert_ne!(tracks[0], tracks[1]);
    }
}
