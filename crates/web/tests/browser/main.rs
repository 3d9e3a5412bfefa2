//! The pages in a browser, at the size of a phone and of a desk.

mod driver;
mod field;
mod files;
mod pages;
mod people;
mod server;
