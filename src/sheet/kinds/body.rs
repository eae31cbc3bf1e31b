//! What lies on the bench: castings, passages, plates, seals, a can of oil.

use super::CASTING;
use crate::circuit::{Casting, Oil, Passage, Plate, PlateKind, Seal, SealKind, SealSeat};
use crate::sheet::fields::Fields;
use crate::sheet::shape::{CAVITY, Count, List, Name, Pair, Viscosity, size, toleranced, word};
use crate::units::{KinematicViscosity, Temperature};

pub(super) fn casting(f: &mut Fields<'_, '_>) -> Casting {
    f.about("A body with passages in it: case, control block, cover, shaft");
    // The passages themselves are declared by whoever knows every file.
    f.need(
        "passages",
        "Its cavities, each listed in one casting only",
        List(CAVITY),
    );
    Casting { text: f.text() }
}

pub(super) fn passage(f: &mut Fields<'_, '_>, casting: String) -> Passage {
    f.about("More about a passage that a casting lists");
    f.at_most_one(&[&["bore"], &["width", "depth"]]);
    Passage {
        casting,
        bore: f.may("bore", "Inner diameter of a drilling or tube", toleranced()),
        width: f.may("width", "Width of a rectangular channel", toleranced()),
        depth: f.may("depth", "Depth of a rectangular channel", toleranced()),
        length: f.may("length", "Length along the flow", toleranced()),
        bends: f.may("bends", "How many right-angle bends it has", Count),
        volume: f.may("volume", "Oil it holds", size()),
        text: f.text(),
    }
}

pub(super) fn plate(f: &mut Fields<'_, '_>) -> Plate {
    f.about("A separator plate, gasket, cover or bridge plate");
    Plate {
        // With the kind unknown, a cover: it allows the most.
        kind: f
            .need("kind", "What sort of plate", word())
            .unwrap_or(PlateKind::Cover),
        faces: f
            .may("faces", "Castings it lies between", List(CASTING))
            .unwrap_or_default(),
        roofs: f
            .may(
                "roofs",
                "Cavities it closes; without it they open to the sump",
                List(CAVITY),
            )
            .unwrap_or_default(),
        separates: f
            .may(
                "separates",
                "Neighbours that run together without it",
                List(List(CAVITY)),
            )
            .unwrap_or_default(),
        bolts: f.may("bolts", "How many bolts hold it", Count),
        torque: f.may("torque", "What the bolts are tightened to", size()),
        thickness: f.may("thickness", "How thick it is", size()),
        gap: f.may(
            "gap",
            "How far it stands off where it is loose",
            toleranced(),
        ),
        wall: f.may(
            "wall",
            "Width of the face between a passage and its neighbour or the outside",
            toleranced(),
        ),
        text: f.text(),
    }
}

pub(super) fn seal(f: &mut Fields<'_, '_>) -> Seal {
    f.about("A ring, O-ring, grommet or lip");
    let kind = f
        .may("kind", "An O-ring unless said", word())
        .unwrap_or(SealKind::ORing);
    let on = f.may("on", "Way it seals", Name("way"));
    let between = f.may("between", "Cavities it keeps apart", Pair(CAVITY));
    f.exactly_one(&[&["on"], &["between"]]);
    Seal {
        kind,
        seat: match between {
            Some(between) => SealSeat::Between(between),
            None => SealSeat::On(on.unwrap_or_default()),
        },
        text: f.text(),
    }
}

pub(super) fn oil(f: &mut Fields<'_, '_>) -> Oil {
    f.about("An oil; the first is in the box unless another is asked for");
    let viscosity = f.need(
        "viscosity",
        "How thick it is at two temperatures, as its data sheet says",
        Viscosity,
    );
    Oil {
        // One that cannot be read thins like any other, so that nothing more is said of it.
        viscosity: viscosity.unwrap_or([(40.0, 30.0), (100.0, 6.0)].map(|(celsius, cst)| {
            let kelvin = Temperature::from_kelvin(celsius + 273.15);
            (kelvin, KinematicViscosity::from_m2_per_s(cst / 1e6))
        })),
        density: f.may("density", "Its density at 15 °C", size()),
        text: f.text(),
    }
}
