//! Processor time, which a machine that others use as well does not stretch.

use std::time::Duration;

/// Processor time that this process has had, all its threads together, to a hundredth of a second;
/// none where that is not told.
pub fn worked() -> Duration {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let fields = stat
        .rsplit(')')
        .next()
        .unwrap_or_default()
        .split_whitespace();
    let ticks: u64 = fields
        .skip(11)
        .take(2)
        .filter_map(|t| t.parse::<u64>().ok())
        .sum();
    Duration::from_millis(ticks * 10)
}
