//! The language: syntax, values, names, `use`, parts, variants, tidy and the reference page.

mod syntax;
