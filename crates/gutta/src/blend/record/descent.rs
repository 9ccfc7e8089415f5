//! Which trial came from which.

use std::collections::HashMap;

use super::Identifier;

/// A place in the tree of descent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Branch {
    /// Which of the trials it is, in the order that they were handed over.
    pub at: usize,
    /// How many it descends from, one after the other: 0 of one without a parent.
    pub depth: usize,
    /// Whether it is the last child of its parent.
    pub is_last: bool,
}

/// The tree of trials, each with its parent where it has one: every trial once,
/// parents before their children, children in the order that they were handed
/// over. A trial whose parent is not among them stands at the top; so does the
/// first of a circle.
///
/// ```
/// use gutta::blend::record::{Identifier, descent};
/// let id = |n| Identifier::of(n, 7).unwrap();
/// let tree = descent(&[(id(1), None), (id(2), Some(id(1))), (id(3), Some(id(2))), (id(4), Some(id(1)))]);
/// let depths: Vec<usize> = tree.iter().map(|branch| branch.depth).collect();
/// assert_eq!(depths, [0, 1, 2, 1]);
/// ```
pub fn descent(trials: &[(Identifier, Option<Identifier>)]) -> Vec<Branch> {
    let places: HashMap<&Identifier, usize> = trials
        .iter()
        .enumerate()
        .map(|(at, (id, _))| (id, at))
        .collect();
    let mut children: Vec<Vec<usize>> = vec![Vec::new(); trials.len()];
    let mut tops = Vec::new();
    for (at, (_, parent)) in trials.iter().enumerate() {
        let parent = parent.as_ref().and_then(|parent| places.get(parent));
        match parent {
            Some(parent) if *parent != at => children[*parent].push(at),
            _ => tops.push(at),
        }
    }
    let mut tree = Vec::with_capacity(trials.len());
    let mut is_placed = vec![false; trials.len()];
    // Beneath the tops lies all but the circles.
    for top in tops.into_iter().chain(0..trials.len()) {
        let mut waiting = vec![Branch {
            at: top,
            depth: 0,
            is_last: true,
        }];
        while let Some(branch) = waiting.pop() {
            if std::mem::replace(&mut is_placed[branch.at], true) {
                continue;
            }
            tree.push(branch);
            let below = &children[branch.at];
            waiting.extend(below.iter().rev().enumerate().map(|(back, at)| Branch {
                at: *at,
                depth: branch.depth + 1,
                is_last: back == 0,
            }));
        }
    }
    tree
}

#[cfg(test)]
mod tests {
    use super::*;

    fn id(n: u64) -> Identifier {
        Identifier::of(n, 7).expect("seven symbols")
    }

    fn placed(trials: &[(u64, Option<u64>)]) -> Vec<(usize, usize, bool)> {
        let trials: Vec<_> = trials
            .iter()
            .map(|(n, parent)| (id(*n), parent.map(id)))
            .collect();
        descent(&trials)
            .into_iter()
            .map(|branch| (branch.at, branch.depth, branch.is_last))
            .collect()
    }

    #[test]
    fn children_stand_below_their_parent_in_their_order() {
        let tree = placed(&[
            (1, None),
            (2, Some(1)),
            (5, None),
            (3, Some(1)),
            (4, Some(2)),
        ]);
        assert_eq!(
            tree,
            [
                (0, 0, true),
                (1, 1, false),
                (4, 2, true),
                (3, 1, true),
                (2, 0, true)
            ]
        );
    }

    #[test]
    fn a_child_may_be_written_before_its_parent_and_a_stranger_has_none() {
        let tree = placed(&[(2, Some(1)), (1, None), (3, Some(9))]);
        assert_eq!(tree, [(1, 0, true), (0, 1, true), (2, 0, true)]);
    }

    #[test]
    fn a_circle_loses_nobody() {
        let tree = placed(&[(1, Some(2)), (2, Some(1)), (3, Some(3))]);
        assert_eq!(tree, [(2, 0, true), (0, 0, true), (1, 1, true)]);
    }
}
