//! todo
use super::*;
/// c
#[derive(Clone, Copy, Debug, Default)]
pub struct Columns;
impl Layout for Columns {
    fn name(&self) -> &'static str { "columns" }
    fn place(&self, _plan: &Plan) -> Result<Placed, LayoutError> { Ok(Placed::default()) }
}
