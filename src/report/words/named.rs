//! What parts are called: as typed, in a list, in a sentence.

use super::Words;
use crate::circuit::{Kind, Part, PartName, SUMP};
use crate::report::page::Line;

impl Words<'_> {
    /// A part as a reader can type it.
    pub(crate) fn typed(&self, part: &PartName) -> Line {
        Line::id(&self.circuit.short(part))
    }

    /// The label of a part, if it has one.
    pub(crate) fn label(&self, part: &PartName) -> Line {
        let part = self.circuit.get(part.kind, &part.id);
        let label = part.and_then(|p| p.text().label.as_deref());
        label.unwrap_or_default().into()
    }

    /// A part with its label, to be put in a list: `bridge cover (hop-cover)`.
    pub(crate) fn name(&self, part: &PartName) -> Line {
        match self.label(part) {
            label if label.is_empty() => self.typed(part),
            label => label + " (" + self.typed(part) + ")",
        }
    }

    /// A part in a sentence: `the bridge cover (hop-cover)`, `port rear-lube`.
    pub(crate) fn part(&self, part: &PartName) -> Line {
        let typed = self.typed(part);
        let label = self.label(part);
        let kind = match self.circuit.get(part.kind, &part.id) {
            Some(Part::Plate(plate)) => plate.kind.word(),
            _ => part.kind.word(),
        };
        if !label.is_empty() {
            let begins = match self.circuit.label(part) {
                place if says_where(place) => format!("the {kind} "),
                _ if self.is_numbered(part) => String::new(),
                label => article(label).to_owned(),
            };
            return Line::from(begins) + label + " (" + typed + ")";
        }
        match part.kind {
            Kind::Outlet | Kind::Passage => typed,
            // `kind.id`, where kinds share an id, says the kind already.
            _ if self.circuit.short(part) != part.id => typed,
            _ => Line::from(kind) + " " + typed,
        }
    }

    /// Whether a label ends in a letter or number that tells the part from its like, and so takes
    /// no article: `clutch A`, `shift valve 1`, but the `turning joint of A`.
    fn is_numbered(&self, part: &PartName) -> bool {
        let label = self.circuit.label(part);
        let last = label.rsplit_once(' ').map(|(_, last)| last);
        let short = |last: &str| match last.len() {
            1 => true,
            digits => digits > 0 && last.chars().all(|c| c.is_ascii_digit()),
        };
        last.is_some_and(short) && !label.contains(" of ")
    }

    /// A cavity in a sentence.
    pub(crate) fn cavity(&self, id: &str) -> Line {
        match id {
            SUMP => "the sump".into(),
            id => self.part(&PartName::new(Kind::Passage, id)),
        }
    }

    /// A body in a sentence.
    pub(in crate::report) fn casting(&self, id: &str) -> Line {
        let part = PartName::new(Kind::Casting, id);
        let label = self.circuit.label(&part);
        Line::from(article(label)) + label
    }

    /// Parts in a sentence: `a, b and c`.
    pub(crate) fn parts(&self, parts: &[PartName]) -> Line {
        Line::list(parts.iter().map(|p| self.part(p)), "and")
    }
}

/// Whether a label says where something is or leads, and not what it is: `out of shift valve 1`.
fn says_where(label: &str) -> bool {
    let first = label.split(' ').next().unwrap_or_default();
    let where_to = ["from", "to", "into", "behind", "before", "between", "under"];
    label.starts_with("out of ") || where_to.contains(&first)
}

/// What a label begins with in a sentence: nothing where it has an article of its own.
fn article(label: &str) -> &'static str {
    let first = label.split(' ').next().unwrap_or_default();
    let own = ["the", "a", "an"];
    match own.iter().any(|own| first.eq_ignore_ascii_case(own)) {
        true => "",
        false => "the ",
    }
}

#[cfg(test)]
mod tests {
    use super::{article, says_where};

    #[test]
    fn a_label_with_an_article_takes_no_other() {
        for (label, begins) in [
            ("lid", "the "),
            ("the lid", ""),
            ("A lid", ""),
            ("theta port", "the "),
        ] {
            assert_eq!(article(label), begins, "{label}");
        }
    }

    #[test]
    fn a_label_that_says_where_is_told_from_one_that_says_what() {
        for (label, is) in [
            ("out of shift valve 1", true),
            ("behind the screen", true),
            ("outlet", false),
            ("out port", false),
            ("toe clutch", false),
        ] {
            assert_eq!(says_where(label), is, "{label}");
        }
    }
}
