//! What is handed out on paper: the floor as drawings, one layer a sheet, and documents for those who need the plan in hand.
//!
//! [`draw`] turns plain values (points in metres, labels as text) into an SVG sheet at a neat scale. Nothing is
//! figured here but where ink goes; who calls decides what is drawn and in whose units. See
//! `docs/methods/drawings.md`.

pub mod appointments;
pub mod clock_sheets;
pub mod documents;
pub mod drawing;
pub mod plan_sheets;
pub mod words;

pub use appointments::{Appointment, appointments};
pub use clock_sheets::{
    FloorsAsked, day_line, day_line_for_screen, floor_at, floor_at_for_screen, telling_floors,
};
pub use documents::{Document, DocumentOptions, Paper, Planned, documents, quote_sheet};
pub use drawing::{FloorDrawing, Layer, draw};
pub use plan_sheets::{ScreenLayer, as_built_sheets, floor_for_screen, sheets, takeoff_sheets};
pub use words::{Language, Words};
