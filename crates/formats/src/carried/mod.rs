//! What a floor carries to other programs: a DXF drawing, a LandXML survey, its shots as a table.
//!
//! The same job and plan give the same bytes; the instant that a survey must name is handed in.

mod dxf;
mod land_xml;
mod shots;

pub use dxf::floor_dxf;
pub use land_xml::floor_land_xml;
pub use shots::shots_csv;

#[cfg(test)]
mod tests;
