//! Where commas and line feeds stand in a text.
//!
//! # Why before the fields are read?
//!
//! Where a field begins is known once the one before it is read: read one after
//! the other, each waits for the last. With the ends at hand fields are read side by
//! side.

/// Each byte of a word.
pub const fn each(byte: u8) -> u64 {
    u64::from_ne_bytes([byte; 8])
}

/// How many bytes have a bit each in a word.
const BITS: usize = 64;

/// How many bytes are looked at together: enough words to fill any register.
const BLOCK: usize = 512;

/// Some places in a text, in order, with room for one before them and more behind.
#[derive(Debug)]
pub struct Places {
    at: Vec<u32>,
    /// Behind the last of them.
    end: usize,
}

impl Places {
    pub fn new() -> Self {
        Self {
            at: vec![0],
            end: 1,
        }
    }

    /// Finds commas and line feeds in a text of less than 4 GiB: all of them, and
    /// line feeds by themselves.
    #[inline(always)]
    pub fn find(bytes: &[u8], ends: &mut Self, lines: &mut Self) {
        (ends.end, lines.end) = (1, 1);
        let (blocks, rest) = bytes.as_chunks::<BLOCK>();
        let mut padded = [0; BLOCK];
        padded[..rest.len()].copy_from_slice(rest);
        let mut from = 0_u32;
        for block in blocks.iter().chain([&padded]) {
            let mut commas = [0; BLOCK / 8];
            let mut feeds = [0; BLOCK / 8];
            let words = block.as_chunks::<8>().0.iter();
            for (word, (comma, feed)) in words.zip(commas.iter_mut().zip(&mut feeds)) {
                let word = u64::from_le_bytes(*word);
                *comma = bits(word, b',');
                *feed = bits(word, b'\n');
            }
            let (commas, feeds) = (commas.as_chunks::<8>().0, feeds.as_chunks::<8>().0);
            for (commas, feeds) in commas.iter().zip(feeds) {
                let feeds = u64::from_le_bytes(*feeds);
                ends.add::<8>(from, u64::from_le_bytes(*commas) | feeds);
                lines.add::<2>(from, feeds);
                from = from.wrapping_add(64);
            }
        }
    }

    /// Adds the places of bits, of which about so many are set.
    #[inline(always)]
    fn add<const ABOUT: usize>(&mut self, from: u32, mut bits: u64) {
        if self.at.len() < self.end + BITS {
            self.at.resize(2 * self.at.len() + BITS, 0);
        }
        let Some(room) = self.at.get_mut(self.end..) else {
            return;
        };
        let Some(room) = room.first_chunk_mut::<BITS>() else {
            return;
        };
        let count = bits.count_ones() as usize;
        // Whether one more is to come is a branch that is often guessed wrong: some
        // are written however many there are.
        for group in room.chunks_exact_mut(ABOUT) {
            for place in group {
                *place = from.wrapping_add(bits.trailing_zeros());
                bits &= bits.wrapping_sub(1);
            }
            if bits == 0 {
                break;
            }
        }
        self.end += count;
    }

    fn first_behind(&self, at: usize) -> usize {
        let places = &self.at[1..self.end];
        1 + places.partition_point(|place| (*place as usize) < at)
    }

    /// Those from a place of the text on.
    pub fn behind(&self, at: usize) -> &[u32] {
        &self.at[self.first_behind(at)..self.end]
    }

    /// The place before `at`, where the row before it ended, and so many behind.
    pub fn behind_end(&mut self, at: usize, count: usize) -> &[u32] {
        let first = self.first_behind(at) - 1;
        #[allow(clippy::cast_possible_truncation, reason = "the text is shorter")]
        let before = (at as u32).wrapping_sub(1);
        self.at[first] = before;
        &self.at[first..=first + count]
    }
}

const LOW: u64 = each(0x7f);
/// The highest bit of each byte.
pub const HIGH: u64 = each(0x80);
const SIDE_BY_SIDE: u64 = 0x0102_0408_1020_4080;

/// A bit for each of eight bytes: whether it is this one.
#[inline(always)]
fn bits(word: u64, byte: u8) -> u8 {
    let others = word ^ each(byte);
    // The highest bit of each byte that has any.
    let others = (others & LOW).wrapping_add(LOW) | others;
    let same = !others & HIGH;
    // Moved side by side into the highest byte.
    ((same >> 7).wrapping_mul(SIDE_BY_SIDE) >> 56) as u8
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn places_are_found_byte_by_byte(
            text in proptest::collection::vec(
                prop_oneof![any::<u8>(), proptest::sample::select(b",,,\"\r\n".to_vec())],
                0..1500,
            ),
            from in 0_usize..1500,
        ) {
            let from = from.min(text.len());
            let (mut ends, mut lines) = (Places::new(), Places::new());
            Places::find(&text, &mut ends, &mut lines);
            let places = |of: &[u8]| -> Vec<u32> {
                let found = (from..text.len()).filter(|at| of.contains(&text[*at]));
                found.map(|at| u32::try_from(at).unwrap()).collect()
            };
            prop_assert_eq!(lines.behind(from), places(b"\n"));
            let all = places(b",\n");
            prop_assert_eq!(ends.behind(from), &all[..]);
            let before = u32::try_from(from).unwrap().wrapping_sub(1);
            let behind = ends.behind_end(from, all.len());
            prop_assert_eq!((behind[0], &behind[1..]), (before, &all[..]));
        }
    }
}
