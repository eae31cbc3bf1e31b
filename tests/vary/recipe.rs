//! Small circuits with sizes by the thousand: a supply, orifices that branch and meet again,
//! bearings, and one passage under a cover.

use std::fmt::Write;

use oilpath::circuit::Circuit;
use oilpath::sheet;
use proptest::prelude::*;

/// A circuit of passages `p0` (fed by the supply), `p1`, ...: passage `i` is fed from an earlier one
/// by an orifice `feed-i`, and the cover lies over one of them.
#[derive(Clone, Debug)]
pub struct Recipe {
    /// For each passage after the first: the one it is fed from, and the bore in µm.
    pub feeds: Vec<(usize, u32)>,
    /// More orifices: between which passages, and the bore in µm.
    pub more: Vec<(usize, usize, u32)>,
    /// The bore of the bearing at each passage after the first, in µm.
    pub bearings: Vec<u32>,
    /// What each bearing needs, in cm³/min.
    pub needs: Vec<u32>,
    /// The passage under the cover.
    pub covered: usize,
    /// Pressure of the supply, in kPa.
    pub pressure: u32,
}

impl Recipe {
    pub fn text(&self) -> String {
        let passages: Vec<String> = (0..=self.feeds.len()).map(|p| format!("'p{p}'")).collect();
        let mut text = format!(
            "[casting]\nblock = {{ passages = [{}] }}\n\
             [source]\nsupply = {{ feeds = 'p0', pressure = '{} kPa' }}\n\
             [passage]\np{covered} = {{ length = '25 mm' }}\n\
             [plate]\ncover = {{ kind = 'cover', roofs = ['p{covered}'], gap = '0.05 mm', wall = '4 mm' }}\n\
             [orifice]\n",
            passages.join(", "),
            self.pressure,
            covered = self.covered,
        );
        let feeds = self.feeds.iter().enumerate();
        let feeds = feeds.map(|(i, (from, bore))| ("feed", i + 1, *from, i + 1, *bore));
        let more = self.more.iter().enumerate();
        let more = more.map(|(i, (one, other, bore))| ("more", i, *one, *other, *bore));
        for (word, number, one, other, bore) in feeds.chain(more) {
            writeln!(
                text,
                "{word}-{number} = {{ between = ['p{one}', 'p{other}'], bore = '{bore} µm' }}"
            )
            .unwrap();
        }
        text += "[outlet]\n";
        for (i, (bore, needs)) in self.bearings.iter().zip(&self.needs).enumerate() {
            let at = i + 1;
            writeln!(
                text,
                "b{at} = {{ kind = 'bearing', at = 'p{at}', bore = '{bore} µm', needs = '{needs} cm³/min' }}"
            )
            .unwrap();
        }
        text
    }

    pub fn circuit(&self) -> Circuit {
        let text = self.text();
        match sheet::read(&text) {
            Ok(sheet) => sheet.circuit,
            Err(refused) => panic!("{text}\n{refused:?}"),
        }
    }

    /// Passages whose oil all comes by the feed of one: those fed from it, unless another orifice
    /// goes in from elsewhere.
    pub fn beyond(&self, passage: usize) -> Vec<usize> {
        let mut reached = vec![false; self.feeds.len() + 1];
        reached[0] = passage != 0;
        loop {
            let mut grown = false;
            let feeds = self.feeds.iter().enumerate().map(|(i, f)| (f.0, i + 1));
            let ways = feeds.filter(|(_, to)| *to != passage);
            for (one, other) in ways.chain(self.more.iter().map(|m| (m.0, m.1))) {
                if reached[one] != reached[other] {
                    (reached[one], reached[other]) = (true, true);
                    grown = true;
                }
            }
            if !grown {
                let all = 1..reached.len();
                return all.filter(|passage| !reached[*passage]).collect();
            }
        }
    }
}

pub fn recipe() -> impl Strategy<Value = Recipe> {
    (2usize..7).prop_flat_map(|count| {
        let feeds: Vec<_> = (1..=count).map(|i| (0..i, 500u32..2500)).collect();
        let more = (0..=count, 0..=count, 500u32..2500);
        let more = more.prop_filter("two ends", |(one, other, _)| one != other);
        (
            feeds,
            prop::collection::vec(more, 0..2),
            prop::collection::vec(600u32..2500, count),
            prop::collection::vec(50u32..3000, count),
            1..=count,
            200u32..1500,
        )
            .prop_map(|(feeds, more, bearings, needs, covered, pressure)| Recipe {
                feeds,
                more,
                bearings,
                needs,
                covered,
                pressure,
            })
    })
}
