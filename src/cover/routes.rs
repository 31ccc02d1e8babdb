//! Ways from sheet to sheet through joints.

use std::collections::VecDeque;

use kurbo::Point;

use super::SheetPlan;

impl SheetPlan {
    /// The sheet whose kept part shows a floor point; where several do, the one laid first.
    #[must_use]
    pub fn sheet_at(&self, point: Point) -> Option<usize> {
        let shows = |index: &usize| self.kept_floor(*index).contains(point);
        (0..self.sheets.len()).find(shows)
    }

    /// For each sheet the joints on the shortest way to it from sheet `start`, as indices; `None` where
    /// no way leads.
    #[must_use]
    pub fn routes(&self, start: usize) -> Vec<Option<Vec<usize>>> {
        let mut at: Vec<Vec<(usize, usize)>> = vec![Vec::new(); self.sheets.len()];
        for (index, joint) in self.joints.iter().enumerate() {
            at[joint.over].push((joint.under, index));
            at[joint.under].push((joint.over, index));
        }
        let mut routes: Vec<Option<Vec<usize>>> = vec![None; self.sheets.len()];
        routes[start] = Some(Vec::new());
        let mut open = VecDeque::from([start]);
        while let Some(sheet) = open.pop_front() {
            for &(next, joint) in &at[sheet] {
                if routes[next].is_none() {
                    let mut route = routes[sheet].clone().unwrap_or_default();
                    route.push(joint);
                    routes[next] = Some(route);
                    open.push_back(next);
                }
            }
        }
        routes
    }

    /// Sheets that lie on no other and are not joined to one laid before: each begins a piece of the
    /// mat, and is laid by tape.
    #[must_use]
    pub fn laid_by_tape(&self) -> Vec<usize> {
        let mut over = vec![false; self.sheets.len()];
        self.joints.iter().for_each(|joint| over[joint.over] = true);
        (0..self.sheets.len())
            .filter(|&index| !over[index])
            .collect()
    }
}
