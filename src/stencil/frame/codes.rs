//! Places of tabs, different for every joint.

/// Steps in which places of tabs differ, mm, and how near two places may be for one end still to go into the other.
const STEP_MM: f64 = 2.0;
const FIT_MM: f64 = 1.8;

/// Most places of a tab in one web.
const MOST_PLACES: usize = 24;

/// A tab: how far from the middle of its joint, mm along the joint's line, and on which side of it the tip lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Tab {
    pub at: f64,
    /// True where it reaches to the left of the joint's line.
    pub ahead: bool,
}

/// The ends of pieces so far, each as its tabs look from it: to the right of who looks out over it, tips outwards or inwards.
#[derive(Default)]
pub(super) struct Codes {
    ends: Vec<Vec<Tab>>,
}

impl Codes {
    /// Tabs in these rooms (stretches for the middles of tabs, from the joint's middle) that make two ends which go together with
    /// none of the ends so far; `None` when there are none left. Without a room a joint is without a tab.
    pub(super) fn next(&mut self, rooms: &[(f64, f64)]) -> Option<Vec<Tab>> {
        let tabs = ways(rooms).find(|tabs| {
            [tabs.clone(), opposite(tabs)]
                .iter()
                .all(|end| end.is_empty() || self.ends.iter().all(|known| !go_together(end, known)))
        })?;
        self.ends.extend([tabs.clone(), opposite(&tabs)]);
        Some(tabs)
    }
}

/// All sets of a tab in each room, neighbouring ones unlike each other. Of two, one reaches out and one in: ends that only
/// had notches would lie at each other without a tab in the way.
fn ways(rooms: &[(f64, f64)]) -> impl Iterator<Item = Vec<Tab>> + use<> {
    let places: Vec<Vec<f64>> = rooms.iter().map(|room| places(*room)).collect();
    let count: usize = places.iter().map(Vec::len).product();
    (0..2 * count).map(move |way| {
        let (mut rest, mut ahead) = (way / 2, way % 2 == 0);
        let mut tab = |places: &Vec<f64>| {
            let at = places[rest % places.len()];
            rest /= places.len();
            ahead = !ahead;
            Tab { at, ahead }
        };
        places.iter().map(&mut tab).collect()
    })
}

/// Places in a room, a step or more apart.
fn places((from, to): (f64, f64)) -> Vec<f64> {
    let count = ((to - from) / STEP_MM).floor() as usize + 1;
    let count = count.min(MOST_PLACES);
    let middle = f64::midpoint(from, to);
    let step = if count > 1 {
        (to - from) / (count - 1) as f64
    } else {
        0.0
    };
    (0..count)
        .map(|index| middle + (index as f64 - (count - 1) as f64 / 2.0) * step)
        .collect()
}

/// The end that goes together with this one, as it looks from there.
fn opposite(end: &[Tab]) -> Vec<Tab> {
    let across = |tab: &Tab| Tab {
        at: -tab.at,
        ahead: !tab.ahead,
    };
    end.iter().rev().map(across).collect()
}

/// True where a tab goes into a notch and every tab of either end finds one of the other: nothing then keeps the two apart.
fn go_together(one: &[Tab], other: &[Tab]) -> bool {
    let find_room = |one: &[Tab], other: &[Tab]| {
        let wanted = opposite(one);
        let mut tabs = other.iter().filter(|tab| tab.ahead);
        tabs.all(|tab| {
            let same = |room: &Tab| room.ahead && (room.at - tab.at).abs() < FIT_MM;
            wanted.iter().any(same)
        })
    };
    let engages = [one, other]
        .iter()
        .any(|end| end.iter().any(|tab| tab.ahead));
    engages && find_room(one, other) && find_room(other, one)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_end_goes_together_with_another_than_its_own() {
        let mut codes = Codes::default();
        let rooms = [(-75.0, -50.0), (50.0, 75.0)];
        let joints: Vec<Vec<Tab>> = std::iter::from_fn(|| codes.next(&rooms)).collect();
        assert!(joints.len() > 100, "{} joints", joints.len());
        let ends: Vec<Vec<Tab>> = joints
            .iter()
            .flat_map(|tabs| [tabs.clone(), opposite(tabs)])
            .collect();
        for (index, one) in ends.iter().enumerate() {
            let others = (0..ends.len()).filter(|other| *other != index);
            let mates = others.filter(|other| go_together(one, &ends[*other]));
            assert_eq!(mates.collect::<Vec<_>>(), [index ^ 1], "{one:?}");
        }
    }

    #[test]
    fn a_joint_without_room_has_no_tab() {
        assert_eq!(Codes::default().next(&[]), Some(vec![]));
    }
}
