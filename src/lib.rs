//! Oil paths in automatic gearboxes: where oil is made, how it gets to what needs it, and what
//! goes hungry when a part is loose, left out, worn, stuck or plugged.
//!
//! A circuit file names the parts of a control block as they lie on the bench: cavities, ports,
//! metering holes, check balls, plates, valves, outlets. [`sheet`] reads it, [`net`] makes a
//! compact graph of it, and [`answer`] holds the questions:
//!
//! ```
//! use oilpath::{answer::{self, Verdict}, net::Net, sheet};
//!
//! let circuit = sheet::read(r#"
//!     title = "One bearing behind a small cover"
//!
//!     [casting]
//!     block = { passages = ["line", "lube-feed"] }
//!     case = { passages = ["lube-rear"] }
//!
//!     [source]
//!     pump = { feeds = "line" }
//!
//!     [plate]                                     # two bolts; the roof over the hop
//!     hop-cover = { kind = "cover", bolts = 2, torque = "9 N·m", roofs = ["lube-feed"] }
//!
//!     [orifice]
//!     hop = { between = ["line", "lube-feed"], bore = "1.2 mm", under = "hop-cover", hole-at = "line" }
//!
//!     [port]
//!     rear-lube = { between = ["lube-feed", "lube-rear"] }
//!
//!     [outlet]
//!     clutch = { kind = "clutch", at = "line" }
//!     bearing = { kind = "bearing", at = "lube-rear" }
//! "#)?.circuit;
//! let net = Net::new(&circuit)?;
//!
//! // The plate question: the cover is loose. Who starves?
//! let loose = circuit.fault("hop-cover:loose")?;
//! let answer = answer::starve(&net, &[loose], None);
//! assert_eq!(answer.with("", Verdict::Starved), ["bearing"]);
//! // The hole meters, so line holds against the leak beyond it.
//! assert_eq!(answer.with("", Verdict::Kept), ["clutch"]);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Three questions, worked
//!
//! The circuits are those of the folder `circuits/`. **Who starves, and why?** Settling weighs supply
//! against drain and lets the oil move the valves; each verdict has its reason.
//!
//! ```
//! use oilpath::{answer::{self, Reason}, net::Net, sheet};
//! let circuit = sheet::open("circuits/tractor-powershift.toml")?.circuit;
//! let net = Net::new(&circuit)?;
//! let loose = circuit.fault("hop-cover:loose")?;
//! let answer = answer::starve(&net, &[loose], Some("neutral"));
//! let bearing = answer.states[0].outlets.iter().find(|o| o.outlet.id == "pto-bearing").unwrap();
//! assert!(bearing.verdict.is_bad());
//! assert!(matches!(bearing.reason, Some(Reason::RunsOff { .. })));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! **What does an outlet live by?** Every fault, pair and three of faults that starves it.
//!
//! ```
//! use oilpath::{answer::{self, LivesByQuestion}, circuit::Kind, net::Net, sheet};
//! let circuit = sheet::open("circuits/lessons/check-ball.toml")?.circuit;
//! let net = Net::new(&circuit)?;
//! let clutch = circuit.find("lift-clutch", &[Kind::Outlet])?;
//! let answer = answer::lives_by(&net, &clutch, &LivesByQuestion::default())?;
//! let plugged = vec!["fill:plugged".to_owned()];
//! let sets = || answer.states.iter().flat_map(|state| &state.cut_sets);
//! assert!(sets().any(|set| set.faults == [plugged.clone()]));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! **How loose is too loose?** Pressures and flows, one size varied: where an outlet stops having
//! what it needs.
//!
//! ```
//! use oilpath::answer::{self, FlowsQuestion, Varied, VaryQuestion, VarySpan};
//! use oilpath::{circuit::{Kind, PartName}, flow::Measure, net::Net, sheet, units::Length};
//! let circuit = sheet::open("circuits/tractor-powershift.toml")?.circuit;
//! let net = Net::new(&circuit)?;
//! let loose = [circuit.fault("hop-cover:loose")?];
//! let gap = (PartName::new(Kind::Plate, "hop-cover"), Measure::Gap);
//! let over = ["0.02 mm", "0.4 mm"].map(|size| size.parse::<Length>().unwrap().m());
//! let span = VarySpan { varied: Varied::Size(gap), over, points: 5 };
//! let question = VaryQuestion { span, flows: &FlowsQuestion::default() };
//! let answer = answer::vary(&net, &loose, (Some("neutral"), &circuit.states["neutral"]), &question)?;
//! let bearing = answer.limits.iter().find(|l| l.outlet.id == "pto-bearing").unwrap();
//! let limit = bearing.changes[0].least;
//! assert!((0.0001..0.00015).contains(&limit), "a tenth of a millimetre, {limit} m");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # How each question is answered
//!
//! | question | method | source |
//! |---|---|---|
//! | [`answer::trace`] | breadth-first search over ways and cavities alike | textbook |
//! | what every way needs | dominators by semi-NCA | Georgiadis, Princeton 2005, after Lengauer and Tarjan 1979 |
//! | [`answer::starve`], [`answer::why`] | switch-level simulation: supply against drain by strength, check balls with a correction of our own; valves round by round | Bryant, IEEE Trans. Computers C-33(2), 1984 |
//! | [`answer::Sweeper`] | the same with 512 scenes in the bits of a word, equal to single runs in every value | own; oscillation by Brent, BIT 20, 1980 |
//! | [`answer::lives_by`] | exhaustive sets up to three; what hangs on each part | Birnbaum 1969; Barlow and Proschan 1975 |
//! | [`answer::flows`] | mass balance as the least of a convex content, Newton with line search on sparse LDLᵀ or LU | laws in [`flow::law`], each with its source |
//! | [`answer::around`] | breadth-first search against and along the oil, never back to what oil must have passed (dominators) | textbook |
//! | [`answer::chart`] | settling each state; parts ranked by the share of bad and of good states that use them, let oil go by them, hold it back with them or give them current | own |
//! | [`answer::walk`], [`answer::unplugged`] | settling from where the last state left valves and balls | as for `starve` |
//! | [`answer::overnight`] | settling with no source at work: what runs off to the sump, by the way whose narrowest place is widest | as for `starve`; Pollack, Operations Research 8, 1960, from memory |
//! | [`answer::reassemble`], [`answer::checklist`] | every slip with a piece settled in every state and left standing overnight; what no state uses | as for `starve` |
//! | [`answer::gauges`] | the pressure that `flows` gives at each tap and switch | as for `flows` |
//! | [`answer::vary`], [`answer::grid`] | bracketing and halving, along one axis or across two | textbook |
//! | [`answer::takes_hold`] | strokes against springs, stepped by the midpoint rule, each step a network of laws | [`flow::fill`], held against closed forms |
//! | [`answer::signatures`] | `flows` at hot and cold, idle and speed, for three extents of each fault | own |
//! | [`answer::agreement`] | settling and flow asked the same, for every fault | own |
//! | [`answer::bench`] | settling with shop air as the source and a casting or the block alone | as for `starve` |
//! | [`answer::compare`] | parts by kind and id, others by refining what surrounds them; both settled and measured | Weisfeiler and Lehman 1968, from memory |
//! | [`suspect::Inquiry`] | sets of faults held against what was seen, weighed by Bayes' rule with assumed chances; checks by expected effort, greedy against looking in order of likelihood | own; the likelihoods are assumptions |
//! | [`teach`] | seeded draws, every right and wrong choice proved by the engine | SplitMix64, OOPSLA 2014 |
//! | [`draw`] | layers, few crossings | Sugiyama, Tagawa and Toda 1981 |
//!
//! # The house
//!
//! Arrows run one way, downwards: each module knows those above it and none below.
//!
//! | module | what it is | what it must not know |
//! |---|---|---|
//! | [`units`] | quantities in SI, read and shown with units | circuits |
//! | [`circuit`] | parts, states, rules, the fault catalogue | files, indices |
//! | [`sheet`] | circuit files to circuits and back, errors with their place | the graph |
//! | [`net`] | one compact graph; a scene is a state and faults laid over it | why it is asked |
//! | [`reach`] | paths, what every path needs, before and beyond | strengths weighed |
//! | [`settle`] | who has pressure: supply against drain | reporting |
//! | [`flow`] | pressures and flows: the oil, the laws of the parts | why it is asked |
//! | [`lint`] | what is legal and looks like a slip | files |
//! | [`explain`] | every code in plain words, with a bad and a good example | how codes are found |
//! | [`answer`] | questions and their answers as plain data | text |
//! | [`suspect`] | from what was seen to the part, and what to check next | text |
//! | [`teach`] | lessons and quizzes that the engine has proved | text |
//! | [`draw`] | drawings: what is drawn, where, and as which text | reports |
//! | [`report`] | answers as terminal text, Markdown, JSON | how they were found |
//! | [`page`] | pages for a browser: a circuit to click through, reports | anything outside its one file |
//!
//! # Features
//!
//! `cli` (default) builds the command line. Without it the library is light and never prints;
//! `report` adds Markdown, JSON and csv, `page` what a browser opens, `parallel` sweeps on all cores.

pub mod answer;
pub mod circuit;
#[cfg(feature = "cli")]
pub mod cli;
#[cfg(feature = "draw")]
pub mod draw;
pub mod explain;
pub mod flow;
pub mod lint;
pub mod net;
#[cfg(feature = "page")]
pub mod page;
pub mod reach;
#[cfg(feature = "report")]
pub mod report;
pub mod settle;
pub mod sheet;
pub mod suspect;
pub mod teach;
pub mod units;
