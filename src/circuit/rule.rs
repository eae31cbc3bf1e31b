//! The small language of valve rules: cavities, solenoids, inputs and lever detents joined by
//! `and`, `or`, `not`.

use std::fmt;
use std::ops::{Not, Range};
use std::str::FromStr;

/// A condition on the circuit: `range-pilot and not (kick-down or lever.R)`.
///
/// A bare name is a cavity that is fed, a solenoid that has current or an input that holds;
/// `lever.D` is the lever in detent D. `not` binds tightest, then `and`, then `or`.
///
/// ```
/// use oilpath::circuit::{Rule, Truth};
/// let rule: Rule = "pilot and not lever.R".parse().unwrap();
/// let truth = rule.truth(&mut |name| match name {
///     "pilot" => Truth::True,
///     "lever.R" => Truth::False,
///     _ => Truth::Unknown,
/// });
/// assert_eq!(truth, Truth::True);
/// assert_eq!(rule.to_string(), "pilot and not lever.R");
/// ```
#[derive(Clone, Debug, PartialEq)]
pub enum Rule {
    /// A cavity, solenoid, input or lever detent.
    Name(String),
    /// The rule within does not hold.
    Not(Box<Rule>),
    /// All hold.
    And(Vec<Rule>),
    /// At least one holds.
    Or(Vec<Rule>),
}

/// Whether a rule holds, as far as is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Truth {
    /// It does not hold.
    False,
    /// It cannot be said.
    Unknown,
    /// It holds.
    True,
}

impl From<bool> for Truth {
    fn from(known: bool) -> Self {
        if known { Truth::True } else { Truth::False }
    }
}

impl Not for Truth {
    type Output = Truth;

    fn not(self) -> Truth {
        match self {
            Truth::False => Truth::True,
            Truth::Unknown => Truth::Unknown,
            Truth::True => Truth::False,
        }
    }
}

impl Truth {
    /// True if all are, false if any is.
    pub fn all(truths: impl IntoIterator<Item = Truth>) -> Truth {
        truths.into_iter().fold(Truth::True, |a, b| match (a, b) {
            (Truth::False, _) | (_, Truth::False) => Truth::False,
            (Truth::True, Truth::True) => Truth::True,
            _ => Truth::Unknown,
        })
    }
}

impl Rule {
    /// Whether it holds, given what is known of each name (Kleene's three-valued logic). Asks for
    /// every name as often as it stands there, in the order of [`Rule::names`].
    pub fn truth(&self, known: &mut dyn FnMut(&str) -> Truth) -> Truth {
        match self {
            Rule::Name(name) => known(name),
            Rule::Not(rule) => !rule.truth(known),
            Rule::And(rules) => Truth::all(rules.iter().map(|r| r.truth(known))),
            Rule::Or(rules) => !Truth::all(rules.iter().map(|r| !r.truth(known))),
        }
    }

    /// The names it reads, left to right, repeats included.
    #[must_use]
    pub fn names(&self) -> Vec<&str> {
        match self {
            Rule::Name(name) => vec![name],
            Rule::Not(rule) => rule.names(),
            Rule::And(rules) | Rule::Or(rules) => rules.iter().flat_map(Rule::names).collect(),
        }
    }

    fn binds(&self) -> u8 {
        match self {
            Rule::Or(_) => 0,
            Rule::And(_) => 1,
            Rule::Not(_) => 2,
            Rule::Name(_) => 3,
        }
    }
}

impl fmt::Display for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // An inner rule that does not bind tighter needs its brackets back.
        let inner = |f: &mut fmt::Formatter<'_>, rule: &Rule| {
            if rule.binds() > self.binds() || matches!((self, rule), (Rule::Not(_), Rule::Not(_))) {
                write!(f, "{rule}")
            } else {
                write!(f, "({rule})")
            }
        };
        match self {
            Rule::Name(name) => f.write_str(name),
            Rule::Not(rule) => {
                f.write_str("not ")?;
                inner(f, rule)
            }
            Rule::And(rules) | Rule::Or(rules) => {
                let word = if matches!(self, Rule::And(_)) {
                    " and "
                } else {
                    " or "
                };
                for (i, rule) in rules.iter().enumerate() {
                    if i > 0 {
                        f.write_str(word)?;
                    }
                    inner(f, rule)?;
                }
                Ok(())
            }
        }
    }
}

/// Why a text is no rule, and which bytes of it are to blame.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{reason}")]
pub struct RuleError {
    /// Bytes of the text.
    pub at: Range<usize>,
    /// What is wrong there.
    pub reason: &'static str,
}

/// Rules nested deeper than this are refused: nobody writes them, and the stack is finite.
const DEEPEST: usize = 64;

impl FromStr for Rule {
    type Err = RuleError;

    fn from_str(text: &str) -> Result<Self, RuleError> {
        let mut reader = Reader {
            text,
            words: words(text),
            next: 0,
            depth: 0,
        };
        let rule = reader.either()?;
        match reader.peek() {
            None => Ok(rule),
            Some(_) => Err(reader.error("expected `and`, `or` or the end here")),
        }
    }
}

/// Byte ranges of names, words and brackets.
fn words(text: &str) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    let mut open = false;
    for (at, c) in text.char_indices() {
        let end = at + c.len_utf8();
        let part_of_word = !c.is_whitespace() && c != '(' && c != ')';
        match found.last_mut() {
            Some(word) if open && part_of_word => word.end = end,
            _ if !c.is_whitespace() => found.push(at..end),
            _ => {}
        }
        open = part_of_word;
    }
    found
}

struct Reader<'t> {
    text: &'t str,
    words: Vec<Range<usize>>,
    next: usize,
    depth: usize,
}

impl Reader<'_> {
    fn peek(&self) -> Option<&str> {
        self.words.get(self.next).map(|at| &self.text[at.clone()])
    }

    fn takes(&mut self, word: &str) -> bool {
        let found = self.peek() == Some(word);
        self.next += usize::from(found);
        found
    }

    fn error(&self, reason: &'static str) -> RuleError {
        let end = self.text.len();
        let at = self.words.get(self.next).cloned().unwrap_or(end..end);
        RuleError { at, reason }
    }

    fn either(&mut self) -> Result<Rule, RuleError> {
        let mut rules = vec![self.both()?];
        while self.takes("or") {
            rules.push(self.both()?);
        }
        Ok(single_or(rules, Rule::Or))
    }

    fn both(&mut self) -> Result<Rule, RuleError> {
        let mut rules = vec![self.one()?];
        while self.takes("and") {
            rules.push(self.one()?);
        }
        Ok(single_or(rules, Rule::And))
    }

    fn one(&mut self) -> Result<Rule, RuleError> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(self.error("nested too deeply"));
        }
        let rule = if self.takes("not") {
            Rule::Not(Box::new(self.one()?))
        } else if self.takes("(") {
            let rule = self.either()?;
            if !self.takes(")") {
                return Err(self.error("expected `)` here"));
            }
            rule
        } else {
            match self.peek() {
                Some(word) if !matches!(word, "and" | "or" | ")") => {
                    let name = word.to_owned();
                    self.next += 1;
                    Rule::Name(name)
                }
                _ => return Err(self.error("expected a name here")),
            }
        };
        self.depth -= 1;
        Ok(rule)
    }
}

fn single_or(mut rules: Vec<Rule>, many: fn(Vec<Rule>) -> Rule) -> Rule {
    if rules.len() == 1 {
        rules.remove(0)
    } else {
        many(rules)
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn not_binds_tightest_then_and_then_or() {
        let rule: Rule = "a or not b and c".parse().unwrap();
        assert_eq!(rule.to_string(), "a or not b and c");
        assert!(matches!(&rule, Rule::Or(r) if matches!(r[1], Rule::And(_))));
        let rule: Rule = "(a or b) and not (c and d)".parse().unwrap();
        assert_eq!(rule.to_string(), "(a or b) and not (c and d)");
    }

    #[test]
    fn errors_point_at_the_word() {
        let err = |text: &str| text.parse::<Rule>().unwrap_err();
        assert_eq!(err("a and").at, 5..5);
        assert_eq!(err("a b").at, 2..3);
        assert_eq!(err("(a or b").reason, "expected `)` here");
        assert_eq!(err("").reason, "expected a name here");
        assert_eq!(err(&"(".repeat(500)).reason, "nested too deeply");
    }

    /// Any rule over names that match a pattern.
    pub(in crate::circuit) fn rules(names: &'static str) -> impl Strategy<Value = Rule> {
        let leaf = names.prop_map(Rule::Name);
        leaf.prop_recursive(4, 24, 3, |inner| {
            let many = prop::collection::vec(inner.clone(), 2..4);
            prop_oneof![
                inner.prop_map(|r| Rule::Not(Box::new(r))),
                many.clone().prop_map(Rule::And),
                many.prop_map(Rule::Or),
            ]
        })
    }

    proptest! {
        #[test]
        fn a_printed_rule_reads_back_equal(rule in rules("[a-d]")) {
            prop_assert_eq!(rule.to_string().parse::<Rule>(), Ok(rule));
        }

        #[test]
        fn an_unknown_name_never_turns_a_definite_answer_wrong(rule in rules("[a-d]"), bits in 0u8..16, hidden in 0u8..16) {
            let index = |name: &str| name.as_bytes()[0] - b'a';
            let whole = rule.truth(&mut |n| (bits >> index(n) & 1 == 1).into());
            let part = rule.truth(&mut |n| {
                if hidden >> index(n) & 1 == 1 { Truth::Unknown } else { (bits >> index(n) & 1 == 1).into() }
            });
            prop_assert!(part == Truth::Unknown || part == whole);
        }

        #[test]
        fn names_are_asked_for_as_they_are_listed(rule in rules("[a-d]")) {
            let mut asked = Vec::new();
            rule.truth(&mut |name| { asked.push(name.to_owned()); Truth::False });
            prop_assert_eq!(asked, rule.names());
        }

        #[test]
        fn no_text_makes_it_panic(text in ".{0,60}") {
            if let Err(e) = text.parse::<Rule>() {
                prop_assert!(text.get(e.at).is_some());
            }
        }
    }
}
