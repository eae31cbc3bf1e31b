//! The plain mark of each kind of part, in a square of twenty-four by twenty.
//!
//! Tank, filter, cooler, pump and check valve follow the graphical symbols of fluid power as
//! workshops know them (common practice, no source); the rest are our own.

use super::text::Ink;
use crate::draw::picture::{Shape, Tank};

/// Draws the sign of a shape with its upper left corner there.
pub(super) fn sign(ink: &mut Ink, shape: &Shape, x: f64, y: f64) {
    ink.open_at("sign", x, y);
    for (class, d) in strokes(shape) {
        ink.path(class, d);
    }
    ink.close();
}

/// The strokes of a sign: class and path, relative to its corner.
fn strokes(shape: &Shape) -> &'static [(&'static str, &'static str)] {
    match shape {
        Shape::Cavity | Shape::Leak => &[(
            "leak",
            "M12 1 C8 7 6 9.5 6 13 A6 6 0 0 0 18 13 C18 9.5 16 7 12 1 Z",
        )],
        // A hole through a wall.
        Shape::Port => &[
            ("land", "M2 10 L7 10 M17 10 L22 10"),
            ("line", "M12 2 L12 18"),
            ("line", "M7 6 L7 14 M17 6 L17 14"),
        ],
        // A throat.
        Shape::Orifice => &[
            ("line", "M7 2 C7 7 10.5 8 10.5 10 C10.5 12 7 13 7 18"),
            ("line", "M17 2 C17 7 13.5 8 13.5 10 C13.5 12 17 13 17 18"),
        ],
        // A narrow gap along a shaft.
        Shape::Clearance => &[
            ("land", "M9 2 L9 18"),
            ("land", "M15 2 L15 18"),
            ("line", "M12 2 L12 5 M12 8 L12 11 M12 14 L12 18"),
        ],
        // A ball over its seat: oil comes from above and lifts it off downwards.
        Shape::Ball { sprung: false } => &[
            ("line", "M12 1 L12 4"),
            ("line", "M6 4 L12 9 L18 4"),
            ("full", "M12 7 A4 4 0 1 1 11.99 7 Z"),
        ],
        Shape::Ball { sprung: true } => &[
            ("line", "M6 2 L12 7 L18 2"),
            ("full", "M12 5 A3.6 3.6 0 1 1 11.99 5 Z"),
            ("line", "M12 12.5 L8 14 L16 16 L8 18 L12 19.5"),
        ],
        // A ball between two seats.
        Shape::Shuttle => &[
            ("line", "M2 5 L2 15 M22 5 L22 15"),
            ("line", "M2 5 L6 10 L2 15 M22 5 L18 10 L22 15"),
            ("full", "M12 6 A4 4 0 1 1 11.99 6 Z"),
        ],
        // A spool with two lands in its bore.
        Shape::Valve(_) => &[
            ("line", "M1 5 L23 5 M1 15 L23 15"),
            ("full", "M4 5 L9 5 L9 15 L4 15 Z"),
            ("full", "M15 5 L20 5 L20 15 L15 15 Z"),
            ("line", "M9 10 L15 10"),
        ],
        // A square with an arrow, held by a spring.
        Shape::Regulator => &[
            ("line", "M3 3 L15 3 L15 17 L3 17 Z"),
            ("line", "M9 5 L9 14 M6.5 11.5 L9 15 L11.5 11.5"),
            ("line", "M15 10 L17 7 L19 13 L21 7 L23 10"),
        ],
        Shape::Relief => &[
            ("line", "M3 3 L15 3 L15 17 L3 17 Z"),
            ("line", "M6 5 L6 14 M4 11.5 L6 15 L8 11.5"),
            ("line", "M15 10 L17 7 L19 13 L21 7 L23 10"),
        ],
        // A coil over a seat.
        Shape::Solenoid => &[
            ("line", "M4 2 L20 2 L20 11 L4 11 Z"),
            ("line", "M4 11 L20 2"),
            ("line", "M12 11 L12 15"),
            ("full", "M8 15 L16 15 L12 19 Z"),
        ],
        // A circle with a triangle that points where the oil goes.
        Shape::Source => &[
            ("line", "M12 1 A9 9 0 1 1 11.99 1 Z"),
            ("full", "M7.5 12 L16.5 12 L12 19 Z"),
        ],
        // A cylinder with a piston on a spring.
        Shape::Accumulator => &[
            ("line", "M5 1 L5 19 M19 1 L19 19 M5 19 L19 19"),
            ("land", "M5 8 L19 8"),
            ("line", "M12 8 L8 10.5 L16 13 L8 15.5 L12 18"),
        ],
        Shape::Filter => &[
            ("line", "M12 1 L22 10 L12 19 L2 10 Z"),
            (
                "line",
                "M2 10 L5 10 M8 10 L11 10 M14 10 L17 10 M20 10 L22 10",
            ),
        ],
        Shape::Converter => &[
            ("line", "M11 2 C3 3 3 17 11 18 Z"),
            ("line", "M13 2 C21 3 21 17 13 18 Z"),
        ],
        Shape::Cooler => &[
            ("line", "M12 1 L22 10 L12 19 L2 10 Z"),
            ("line", "M12 10 L5 10 M7 8 L4.5 10 L7 12"),
            ("line", "M12 10 L19 10 M17 8 L19.5 10 L17 12"),
        ],
        // Two discs pressed together by a piston.
        Shape::Pressed => &[
            ("land", "M3 4 L3 16"),
            ("line", "M3 10 L9 10"),
            ("line", "M9 5 L9 15"),
            ("land", "M13 2 L13 18"),
            ("land", "M17 2 L17 18"),
            ("line", "M17 10 L22 10"),
        ],
        // A shaft in a ring, and a drop.
        Shape::Oiled => &[
            ("line", "M12 2 A8 8 0 1 1 11.99 2 Z"),
            ("line", "M12 6.5 A3.5 3.5 0 1 1 11.99 6.5 Z"),
        ],
    }
}

/// The tank mark: an open vessel with oil in it, and the line that leads into or out of it.
pub(super) fn tank(ink: &mut Ink, tank: Tank, x: f64, y: f64) {
    let line = match tank {
        Tank::Draws => "M0 9 L0 17 M-2.5 14 L0 17.5 L2.5 14",
        Tank::Drains => "M0 0 L0 9 M-2.5 6 L0 9.5 L2.5 6",
    };
    let vessel = match tank {
        Tank::Draws => "M-9 1 L-9 10 L9 10 L9 1",
        Tank::Drains => "M-9 6 L-9 15 L9 15 L9 6",
    };
    ink.open_at("sign tank", x, y);
    ink.path("line", line);
    ink.path("land", vessel);
    ink.close();
}
