//! What is said, word for word, with the place: what the bad books of the demo
//! data do not reach.

mod rows;
mod tables;
mod values;

use super::errors_of;

/// A file of the book, its text, and what is said about it.
type Case = (&'static str, &'static str, &'static str);

fn check(cases: &[Case]) {
    for (file, text, said) in cases {
        assert_eq!(errors_of(file, text).trim_end(), *said, "{text}");
    }
}
