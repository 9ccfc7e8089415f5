//! Where fields may end: every byte of a text that is below the minus, as are
//! commas, quotes and the ends of lines, and no digit or letter.
//!
//! # Why before the fields are read?
//!
//! Where a field begins is known once the one before it is read: read one after
//! the other, each waits for the last. With the ends at hand the processor reads
//! several fields at once.

/// The places of marks from some place on, in order.
#[derive(Debug)]
pub struct Marks<'a> {
    bytes: &'a [u8],
    /// Where the block begins that `bits` are of.
    block: usize,
    /// The marks of the block that are to come, the first the lowest.
    bits: u64,
}

/// How many bytes are looked at together.
pub const BLOCK: usize = 64;

impl<'a> Marks<'a> {
    /// The marks of a text from a place on.
    pub fn from(bytes: &'a [u8], at: usize) -> Self {
        let block = at / BLOCK * BLOCK;
        let behind = u64::MAX << (at % BLOCK);
        Self {
            bytes,
            block,
            bits: marks_at(bytes, block) & behind,
        }
    }

    /// The next mark; none when there is no other. A blank is one, too.
    #[inline]
    pub fn next(&mut self) -> Option<usize> {
        while self.bits == 0 {
            self.block += BLOCK;
            if self.block >= self.bytes.len() {
                return None;
            }
            self.bits = marks_at(self.bytes, self.block);
        }
        let at = self.block + self.bits.trailing_zeros() as usize;
        self.bits &= self.bits - 1;
        Some(at)
    }
}

/// A bit for each mark in the block that begins at a place.
#[inline]
fn marks_at(bytes: &[u8], block: usize) -> u64 {
    match bytes.get(block..).and_then(|rest| rest.first_chunk()) {
        Some(whole) => marks_of(whole),
        None => {
            let rest = bytes.get(block..).unwrap_or_default();
            let mut padded = [b'0'; BLOCK];
            padded[..rest.len()].copy_from_slice(rest);
            marks_of(&padded)
        }
    }
}

/// A bit for each mark, eight bytes at once.
#[inline]
pub fn marks_of(block: &[u8; BLOCK]) -> u64 {
    let (words, _) = block.as_chunks::<8>();
    let mut bits = 0;
    for (i, word) in words.iter().enumerate() {
        let word = u64::from_le_bytes(*word);
        // The highest bit of each byte: set from the minus up, and by what is no
        // ASCII.
        let beyond = (word & LOW).wrapping_add(FROM_MINUS) | word;
        let marks = (beyond & HIGH ^ HIGH) >> 7;
        // One bit a byte, all moved side by side into the highest byte.
        bits |= marks.wrapping_mul(SIDE_BY_SIDE) >> 56 << (8 * i);
    }
    bits
}

const LOW: u64 = u64::from_ne_bytes([0x7f; 8]);
const HIGH: u64 = u64::from_ne_bytes([0x80; 8]);
const FROM_MINUS: u64 = u64::from_ne_bytes([0x80 - b'-'; 8]);
const SIDE_BY_SIDE: u64 = 0x0102_0408_1020_4080;

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn marks_are_found_byte_by_byte(
            text in proptest::collection::vec(
                prop_oneof![any::<u8>(), proptest::sample::select(b",\"\r\n".to_vec())],
                0..300,
            ),
            from in 0_usize..300,
        ) {
            let from = from.min(text.len());
            let mut marks = Marks::from(&text, from);
            let mut found = Vec::new();
            while let Some(at) = marks.next() {
                found.push(at);
            }
            let is_mark = |at: &usize| text[*at] < b'-';
            let expected: Vec<usize> = (from..text.len()).filter(is_mark).collect();
            prop_assert_eq!(found, expected);
        }
    }
}
