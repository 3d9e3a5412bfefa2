//! The engine against libraries that many people use, on floors made from a seed.
//!
//! Each case makes its input here, asks a script of `tests/reference` for the same figure and compares
//! with a tolerance that is argued beside the comparison. `./check` installs the libraries.

mod air;
mod column;
mod cover;
mod cuts;
mod documents;
mod drawings;
mod floors;
mod interface;
mod joints;
mod learning;
mod normal;
mod order;
mod papers;
mod polygons;
mod ponding;
mod process;
mod rounds;
mod rounds_question;
mod sun;
mod surfaces;
mod sweep;
mod trucks;
mod walk;
mod weather;
mod worked_example;
