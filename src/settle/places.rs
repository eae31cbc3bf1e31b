//! Where everything that moves stands, as one row of bits.

use super::point::stands;
use crate::net::{Held, Net};

/// Where everything that moves stands: for valves, then shuttle balls, nought where that is not known
/// and else one more than the place; then which regulators are boosted. See [`Layout`].
pub(super) type Places = Vec<u64>;

/// Which bits of a row of words are whose.
#[derive(Clone)]
pub(super) struct Layout {
    movers: Vec<Field>,
    regulators: Vec<Field>,
    words: usize,
}

/// Some bits of one word.
#[derive(Clone, Copy)]
struct Field {
    word: usize,
    from: u32,
    mask: u64,
}

impl Field {
    fn get(self, words: &[u64]) -> u64 {
        words[self.word] >> self.from & self.mask
    }

    fn set(self, words: &mut [u64], value: u64) {
        let word = &mut words[self.word];
        *word = *word & !(self.mask << self.from) | value << self.from;
    }
}

impl Layout {
    /// For what moves in a net.
    pub fn of(net: &Net<'_>) -> Self {
        let (mut word, mut from) = (0, 0);
        let mut field = |most: usize| {
            let bits = usize::BITS - most.leading_zeros();
            if from + bits > u64::BITS {
                (word, from) = (word + 1, 0);
            }
            let field = Field {
                word,
                from,
                mask: (1 << bits) - 1,
            };
            from += bits;
            field
        };
        let valves = net.valves().iter().map(|valve| valve.rules.len());
        let shuttles = net.shuttles().iter().map(|_| 2);
        Layout {
            movers: valves.chain(shuttles).map(&mut field).collect(),
            regulators: net.regulators().iter().map(|_| field(1)).collect(),
            words: word + 1,
        }
    }

    /// The places of what stands as in `held`.
    pub fn places(&self, held: &Held) -> Places {
        let mut places = vec![0; self.words];
        for (mover, field) in self.movers.iter().enumerate() {
            let place = stands(held, mover).map_or(0, |place| u64::from(place) + 1);
            field.set(&mut places, place);
        }
        self.move_in(&mut places, &[], &held.boosted);
        places
    }

    /// Where a mover stands.
    pub fn stands(&self, places: &[u64], mover: usize) -> Option<u32> {
        let place = self.movers[mover].get(places).checked_sub(1);
        place.map(|place| place as u32)
    }

    /// Has some movers go to their places.
    pub fn move_in(&self, places: &mut [u64], moves: &[(usize, u32)], boosted: &[bool]) {
        for (mover, place) in moves {
            self.movers[*mover].set(places, u64::from(*place) + 1);
        }
        for (field, boosted) in self.regulators.iter().zip(boosted) {
            field.set(places, u64::from(*boosted));
        }
    }

    /// Where everything stands, of places.
    pub fn held(&self, net: &Net<'_>, places: &[u64]) -> Held {
        let valves = net.valves().len();
        let movers = (0..self.movers.len()).map(|mover| self.stands(places, mover));
        let movers: Vec<Option<u32>> = movers.collect();
        let boosted = self.regulators.iter().map(|field| field.get(places) == 1);
        let shuttles = movers[valves..].iter();
        Held {
            shuttles: shuttles.map(|side| side.map(|side| side as u8)).collect(),
            valves: movers[..valves].to_vec(),
            boosted: boosted.collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// However many valves there are, each keeps its own place beside the others.
    #[test]
    fn what_stands_somewhere_is_read_as_it_was_written() {
        let mut text = String::from("[casting]\nblock = { passages = [\"line\"");
        (0..40).for_each(|i| text += &format!(", \"a{i}\""));
        text += "] }\n[source]\npump = { feeds = \"line\" }\n";
        for i in 0..40 {
            text += &format!(
                "[valve.v{i}]\nbore = [\"line\", \"a{i}\", \"sump\"]\n\
                 one = {{ joins = [[\"line\", \"a{i}\"]], otherwise = true }}\n\
                 two = {{ joins = [[\"a{i}\", \"sump\"]], when = \"line\" }}\n"
            );
        }
        let circuit = crate::sheet::read(&text).unwrap().circuit;
        let net = Net::new(&circuit).unwrap();
        let layout = Layout::of(&net);
        assert!(layout.words > 1);
        let mut held = Held::unknown(&net);
        for (i, valve) in held.valves.iter_mut().enumerate() {
            *valve = (i as u32 % 3).checked_sub(1);
        }
        let mut places = layout.places(&held);
        assert_eq!(layout.held(&net, &places), held);
        held.valves[33] = Some(1);
        layout.move_in(&mut places, &[(33, 1)], &held.boosted);
        assert_eq!(layout.held(&net, &places), held);
        assert_eq!(layout.stands(&places, 33), Some(1));
    }
}
