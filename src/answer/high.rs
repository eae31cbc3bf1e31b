//! What stands under more pressure than it should.

use super::sound::SoundState;
use crate::circuit::PartName;
use crate::net::Cavity;

/// The regulators whose cavity stands higher than in the sound circuit: those that no longer keep it
/// down, and those that are boosted where they were not. `raised` and `boosted` say that of a regulator
/// by number, `fed` whether pressure builds and comes to a cavity, at every end.
///
/// Levels do not tell how high: nothing is above full.
pub(super) fn stand_high(
    state: &SoundState<'_>,
    raised: impl Fn(usize) -> bool,
    boosted: impl Fn(usize) -> bool,
    fed: impl Fn(Cavity) -> bool,
) -> Vec<PartName> {
    let sound = &state.settled.ends;
    let regulators = state.stage.net().regulators().iter().enumerate();
    let high = regulators.filter(|(i, regulator)| {
        let was_boosted = || sound.iter().any(|end| end.held.boosted[*i]);
        fed(regulator.holds) && (raised(*i) || (boosted(*i) && !was_boosted()))
    });
    high.map(|(_, regulator)| regulator.name.clone()).collect()
}
